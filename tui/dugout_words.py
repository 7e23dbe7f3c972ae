"""The words of the dugout: hints, what is typed so far, title, pitch count, the call."""

from textual import events

from sequencer.records.entry import Draft, sentence
from sequencer.records.keymaps import RUNNER_KEYS, Keymap
from sequencer.records.pitch import Pitch
from tui.views import AdviceView, DugoutView

#: A team's name in the title, so that the score is never cut off at 80 columns.
_LONGEST_NAME = 24
_NAMED = {"enter": "enter", "escape": "escape", "backspace": "backspace", "space": "space"}
_BRIEF = {
    "called strike": "called",
    "swinging strike": "missed",
    "hit by pitch": "hit by",
    "undo": "undo",
    "hitter": "who is up",
    "runner": "runner",
    "half": "end half",
    "pitcher": "pitcher",
    "line": "line",
    "score only": "advice",
    "shown": "as shown",
}


def grammar_key(event: events.Key) -> str:
    """Return the key as the entry grammar names it, "" for one that is not its business."""
    if event.key in _NAMED:
        return _NAMED[event.key]
    if event.character == "?" or not event.is_printable or event.character is None:
        return ""
    return event.character


def hint_lines(keymap: Keymap) -> tuple[str, str]:
    """Return the two lines of keys under the log, as this map has them."""
    results = ("ball", "called strike", "swinging strike", "foul", "out", "single", "double")
    first = [f"{keymap.key('result', r)} {_BRIEF.get(r, r)}" for r in (*results, "home run")]
    second = [
        *(f"{keymap.key('prefix', p)} {_BRIEF[p]}" for p in ("hitter", "runner", "half")),
        f"space {_BRIEF['shown']}",
        *(
            f"{keymap.key('command', c)} {_BRIEF[c]}"
            for c in ("undo", "pitcher", "score only", "line")
        ),
        "? all keys",
    ]
    return "  ".join(first), "  ".join(second)


def draft_words(draft: Draft, bats: str) -> str:
    """Say what is typed so far."""
    said = sentence(Pitch(**{**draft.meant, "result": "…"}), bats) if draft.fields else ""
    prefix = {"hitter": "#", "count": "umpire's count ", "runner": "lead runner "}
    if draft.pending:
        head = prefix.get(draft.pending[0], f"{draft.pending[0]} ")
        behind = draft.pending[1:]
        rest = "- behind him " * len(behind) if draft.pending[0] == "runner" else "".join(behind)
        said = f"{said}  {head}{rest}_".strip()
    return said


def pending_words(draft: Draft, keymap: Keymap) -> str:
    """Say what may follow a command half typed, "" when none is."""
    if not draft.pending:
        return ""
    if draft.pending[0] == "runner":
        events = "  ".join(f"{key} {says.split(',')[0]}" for key, (_, says) in RUNNER_KEYS.items())
        return f"{events}  {keymap.key('prefix', 'runner')} the one behind"
    acts = keymap.acts.values()
    return next(a.says for a in acts if a.kind == "prefix" and a.value == draft.pending[0])


def title_words(view: DugoutView) -> str:
    """Say half, score and who pitches; the score comes before what may be cut off."""
    half = f"{view.half.capitalize()} {view.inning}"
    who = f"{view.pitcher or 'no pitcher said'} pitching" if view.we_pitch else "we hit"
    score = f"{_cut(view.us)} {view.score_us}  {_cut(view.them)} {view.score_them}"
    return f"{half}   {score}   {who}"


def _cut(name: str) -> str:
    return name if len(name) <= _LONGEST_NAME else name[: _LONGEST_NAME - 1] + "…"


def counted_words(view: DugoutView) -> str:
    """Say the pitch count, what is near, and who decides."""
    return ". ".join(line.rstrip(".") for line in (view.pitch_count, view.caution) if line) + "."


def advice_words(
    view: DugoutView, advice: AdviceView | None, keymap: Keymap, *, score_only: bool
) -> str:
    """Say the call drawn, why, and the mix; or why there is none on the screen."""
    if view.advising == "no":
        return "Score only\nThe rules of this game do not allow electronic advice here."
    if score_only:
        ask = "Ask your league first.\n" if view.advising == "ask" else ""
        return f"Score only\n{ask}{keymap.key('command', 'score only')} shows advice."
    if not view.we_pitch:
        return "We hit this half."
    if advice is None:
        return "Next call\n…"
    call = advice.words[:1].upper() + advice.words[1:]
    mix = [f"{share:>3} {words}" for share, words in advice.calls]
    why = advice.why[:1].upper() + advice.why[1:]
    parts = ("Next call", call, advice.note, why, "Of 100:" if mix else "", *mix)
    return "\n".join(part for part in parts if part)
