"""The words of the dugout: hints, what is typed so far, title, pitch count, the call."""

from textwrap import shorten, wrap
from typing import NamedTuple

from textual import events

from sequencer.records.entry import Draft, sentence
from sequencer.records.keymaps import RUNNER_KEYS, Keymap
from sequencer.records.pitch import Pitch
from tui.cells import cut
from tui.views import AdviceView, DugoutView, WaysView

#: Columns and rows of the panel of advice on the narrowest screen.
_PANEL, ROWS = 26, 12
#: Columns of the pitch count on the narrowest screen, and the most rows it takes near a limit.
COUNTED, MOST_ROWS = 28, 5
#: A screen of fewer rows is low: from so many entries on a row of keys makes room for the log.
LOW, FEW_ENTRIES = 34, 6
#: Rows kept for the mix before a call is drawn: its head and two calls.
_FEWEST = 3
#: A team's name in the title, so that the score is never cut off at 80 columns.
_LONGEST_NAME = 24
_NAMED = {"enter": "enter", "escape": "escape", "backspace": "backspace", "space": "space"}
_BRIEF = {
    "called strike": "called",
    "swinging strike": "missed",
    "hit by pitch": "hit by",
    "undo": "undo",
    "hitter": "up",
    "runner": "runner",
    "half": "half",
    "fielders": "fielders",
    "move": "runner's way",
    "tell": "tell",
    "no tell": "no tell",
    "insert": "missed one",
    "next three": "next three",
    "pitcher": "pitcher",
    "line": "line",
    "score only": "advice",
    "shown": "as shown",
}


class Drawn(NamedTuple):
    """The call that was drawn when asked: its words, why it is in the mix, the coach's rules."""

    words: str
    why: str
    rules: str = ""


def grammar_key(event: events.Key) -> str:
    """Return the key as the entry grammar names it, "" for one that is not its business."""
    if event.key in _NAMED:
        return _NAMED[event.key]
    if event.character == "?" or not event.is_printable or event.character is None:
        return ""
    return event.character


def hint_lines(keymap: Keymap, width: int) -> tuple[str, str]:
    """Return the two lines of keys under the log, as this map has them, cut to whole words."""
    results = ("ball", "called strike", "swinging strike", "foul", "out", "single", "double")
    first = [
        *(f"{keymap.key('result', r)} {_BRIEF.get(r, r)}" for r in (*results, "home run")),
        *(f"{keymap.key('prefix', p)} {_BRIEF[p]}" for p in ("fielders", "move", "tell")),
    ]
    second = [
        *(f"{keymap.key('prefix', p)} {_BRIEF[p]}" for p in ("hitter", "runner", "half")),
        f"space {_BRIEF['shown']}",
        *(
            f"{keymap.key('command', c)} {_BRIEF[c]}"
            for c in ("undo", "pitcher", "score only", "line", "insert", "next three")
        ),
        "? all keys",
    ]
    return _whole(first, width), _whole(second, width)


def hint_line(keymap: Keymap, width: int) -> str:
    """Return the keys used most in one line, for a low screen whose log is full."""
    results = ("ball", "called strike", "swinging strike", "foul", "out")
    keys = [
        *(f"{keymap.key('result', r)} {_BRIEF.get(r, r)}" for r in results),
        *(f"{keymap.key('prefix', p)} {_BRIEF[p]}" for p in ("hitter", "runner")),
        f"{keymap.key('command', 'undo')} {_BRIEF['undo']}",
        "? all keys",
    ]
    return _whole(keys, width)


def _whole(parts: list[str], width: int) -> str:
    """Return the parts that fit, in their order."""
    line = ""
    for part in parts:
        more = f"{line}  {part}" if line else part
        if len(more) > width:
            break
        line = more
    return line


def runners_line(view: DugoutView, keymap: Keymap) -> str:
    """Say where the last play took everyone: the next pitch accepts it, a key puts it right."""
    if not view.runners:
        return ""
    return f"Runners: {view.runners}. Next pitch accepts; {keymap.key('prefix', 'move')} moves one."


def log_window(
    entries: tuple[str, ...], marks: tuple[tuple[int, str], ...], marked: int, rows: int
) -> list[tuple[str, bool]]:
    """Return so many lines of the log, the last or those up to the marked pitch, and which it is.

    >>> log_window(("one", "two", "three"), ((1, "R"), (2, "R"), (3, "R")), 1, 2)
    [('one', True), ('two', False)]
    """
    numbers = [n for n, _ in marks]
    seen = marked in numbers if marked else False
    end = max(numbers.index(marked) + 1, min(rows, len(entries))) if seen else len(entries)
    start = max(end - rows, 0)
    return [(entries[i], seen and numbers[i] == marked) for i in range(start, end)]


def next_mark(marks: tuple[tuple[int, str], ...], marked: int, key: str) -> int:
    """Return the entry that an arrow marks: up the one before, down the one after, then none.

    >>> next_mark(((1, "R"), (-5, ""), (2, "R")), 2, "up")
    -5
    """
    ids = [n for n, _ in marks if n]
    if marked not in ids:
        return ids[-1] if ids and key == "up" else 0
    at = ids.index(marked) + (-1 if key == "up" else 1)
    return ids[max(at, 0)] if at < len(ids) else 0


def pitch_after(marks: tuple[tuple[int, str], ...], marked: int) -> int:
    """Return the marked pitch, or the first after a marked event; the last where none is marked."""
    ids = [n for n, _ in marks if n]
    pitches = [n for n in ids if n > 0]
    if marked not in ids:
        return pitches[-1] if pitches else 0
    return next((n for n in ids[ids.index(marked) :] if n > 0), 0)


def marked_words(n: int, keymap: Keymap) -> str:
    """Say what can be done with the marked entry."""
    if n < 0:
        return "Enter corrects it in a line, Del removes it."
    if not n:
        return ""
    amend, insert = keymap.key("prefix", "amend"), keymap.key("command", "insert")
    keys = f"{amend} adds to it, {insert} puts one in before, Enter corrects, Del removes."
    return f"Pitch {n}: {keys}"


def draft_words(draft: Draft, bats: str) -> str:
    """Say what is typed so far."""
    said = sentence(Pitch(**{**draft.meant, "result": "…"}), bats) if draft.fields else ""
    ball = [draft.fields[name] for name in ("flight", "spray", "fielders") if name in draft.fields]
    said = f"{said}  hit: {' '.join(ball)}" if ball else said
    prefix = {
        "hitter": "#",
        "count": "umpire's count ",
        "runner": "lead runner ",
        "move": "runner ",
        "pitch count": "official pitch count ",
        "there": "not there today: ",
        "tell": "saw ",
        "no tell": "watched for ",
        "switch": "in: ",
    }
    if draft.pending:
        head = prefix.get(draft.pending[0], f"{draft.pending[0]} ")
        behind = draft.pending[1:]
        joint = {"move": "-", "amend": " "}.get(draft.pending[0], "")
        rest = "- behind him " * len(behind) if draft.pending[0] == "runner" else joint.join(behind)
        rest = "" if draft.pending[0] == "fielders" else rest
        rest = _coming_in(behind) if draft.pending[0] == "switch" else rest
        said = f"{said}  {head}{rest}_".strip()
    return said


def _coming_in(said: tuple[str, ...]) -> str:
    """Say who comes in, as far as it is typed: runs for the lead runner, or hits for who is up."""
    number = "".join(each for each in said if each.isdigit())
    base = {0: "", 1: " runs for the lead runner"}.get(said.count("B"), " runs for one behind him")
    courtesy = ", courtesy" if "C" in said else ""
    return f"#{number}{base or ' hits for him'}{courtesy} " if said else ""


def pending_words(draft: Draft, keymap: Keymap) -> str:
    """Say what may follow a command half typed, "" when none is."""
    if not draft.pending:
        return ""
    if draft.pending[0] == "runner":
        events = "  ".join(f"{key} {says.split(',')[0]}" for key, (_, says) in RUNNER_KEYS.items())
        return f"{events}  {keymap.key('prefix', 'runner')} the one behind"
    if draft.pending[0] == "switch":
        return _switch_words(draft.pending[1:])
    if draft.pending[-1] in ("tell", "no tell"):
        return "  ".join(f"{key} {tell}" for key, tell in keymap.tells().items())
    if draft.pending[0] == "move":
        return "from 1 2 3 (4 the hitter), to 1 2 3, 4 home, 0 out"
    acts = keymap.acts.values()
    return next(a.says for a in acts if a.kind == "prefix" and a.value == draft.pending[0])


def _switch_words(said: tuple[str, ...]) -> str:
    if not said:
        brief = "a number hits for him  B one runs  C catcher  R or L throwing hand"
        return f"{brief}\nV visit  A absent  S score  N note"
    if said[-1].isdigit():
        return "Enter: he comes in"
    return "his number; B the runner behind; C a courtesy runner"


def title_words(view: DugoutView) -> str:
    """Say half, score and who pitches; the score comes before what may be cut off."""
    half = f"{view.half.capitalize()} {view.inning}"
    hand = f" ({view.throws})" if view.throws else ""
    who = f"{view.pitcher or 'no pitcher said'}{hand} pitching" if view.we_pitch else "we hit"
    score = f"{_cut(view.us)} {view.score_us}  {_cut(view.them)} {view.score_them}"
    return f"{half}   {score}   {who}"


def _cut(name: str) -> str:
    return cut(name, _LONGEST_NAME)


def counted_words(view: DugoutView) -> str:
    """Say the pitch count, what is near, and who decides."""
    return ". ".join(line.rstrip(".") for line in (view.pitch_count, view.caution) if line) + "."


def advice_words(
    view: DugoutView,
    advice: AdviceView | None,
    keymap: Keymap,
    *,
    score_only: bool,
    drawn: Drawn | None = None,
    ways: WaysView | None = None,
    progress: str = "",
    size: tuple[int, int] = (_PANEL, ROWS),
) -> str:
    """Say the mix and why, large the call that was drawn; or why there is none on the screen.

    Parameters
    ----------
    drawn : Drawn or None
        The call that was asked for; it stands until the next entry.
    ways : WaysView or None
        What stands beside it: in sentences where the panel has rows for them.
    progress : str
        How far reading the book for the first call is.
    size : (int, int)
        Columns and rows of the panel.
    """
    if view.advising == "no":
        return "Score only\nThe rules of this game do not allow electronic advice here."
    if score_only:
        ask = "Ask your league first.\n" if view.advising == "ask" else ""
        return f"Score only\n{ask}{keymap.key('command', 'score only')} shows advice."
    if not view.we_pitch:
        return "We hit this half."
    if advice is None and drawn is None:
        stops = f"{keymap.key('command', 'score only')} stops it." if progress else "…"
        return "\n".join(filter(None, ("Next call", progress, stops)))
    mix = advice or AdviceView(view.stamp)
    shares = [f"{share:>3} {words}" for share, words in mix.calls]
    head, why = (
        (call_box(drawn.words, size[0]), drawn.why)
        if drawn
        else (_heading(mix, keymap), mix.leading)
    )
    roomy = size[1] > ROWS
    rules = mix.rules if roomy else _one_line_each(mix.rules, size[0])
    parts = [head, mix.note, rules, _begun(why), mix.time_up, *_beside(ways, roomy=roomy)]
    if drawn is None:
        parts = _with_room(parts, (mix.time_up, _begun(why)), _FEWEST, size)
    return "\n".join((*filter(None, parts), *_fitting(shares, parts, size)))


def _one_line_each(words: str, width: int) -> str:
    return "\n".join(shorten(line, width, placeholder=" …") for line in words.splitlines())


def _with_room(
    parts: list[str], spare: tuple[str, ...], rows: int, size: tuple[int, int]
) -> list[str]:
    """Leave out what can be spared, one after the other, until so many rows are free."""
    for part in spare:
        if _free(parts, size) >= rows:
            break
        parts = [one for one in parts if one != part]
    return parts


def _free(parts: list[str], size: tuple[int, int]) -> int:
    """Return how many rows of a panel are left under some words."""
    lines = [line for part in parts for line in part.splitlines()]
    return size[1] - sum(len(wrap(line, size[0], break_on_hyphens=False)) for line in lines)


def _fitting(shares: list[str], above: list[str], size: tuple[int, int]) -> list[str]:
    """Return the shares that fit under the words above them, with their head."""
    shown = ["Of 100:"]
    for share in shares:
        if _free([*above, *shown, share], size) < 0:
            break
        shown.append(share)
    return shown if len(shown) > 1 else []


def _beside(ways: WaysView | None, *, roomy: bool) -> tuple[str, ...]:
    if ways is None or not ways.short:
        return ()
    return tuple(f"{_begun(says)}." for says in ways.says) if roomy else (ways.short,)


def _heading(advice: AdviceView, keymap: Keymap) -> str:
    """Head the mix: what it does not know yet, how to have a call drawn."""
    if not advice.calls:
        return "Next call"
    late = "; learning …" if advice.behind else ""
    return f"Next call\n{keymap.key('command', 'draw')} draws one{late}"


def _begun(words: str) -> str:
    return words[:1].upper() + words[1:]


def call_box(words: str, width: int) -> str:
    """Return a call in large: its pitch and its place in capitals, in a frame of so many columns.

    >>> print(call_box("changeup low-away", 16))
    ┌──────────────┐
    │   CHANGEUP   │
    │   LOW-AWAY   │
    └──────────────┘
    """
    lines = words.upper().rsplit(" ", 1)
    inner = max(width - 2, *map(len, lines))
    middle = [f"│{line:^{inner}}│" for line in lines]
    return "\n".join(["┌" + "─" * inner + "┐", *middle, "└" + "─" * inner + "┘"])
