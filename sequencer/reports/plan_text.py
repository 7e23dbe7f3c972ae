"""A plan and a suggestion as text for a terminal of 80 columns."""

from collections.abc import Container, Iterable, Mapping, Sequence
from itertools import zip_longest
from textwrap import wrap
from typing import Any, Final

from sequencer.baseball.count import COUNTS, Count
from sequencer.estimates.pitcher import PitchBelief
from sequencer.planning.beside import Beside
from sequencer.planning.calls import Call
from sequencer.planning.looks import Look
from sequencer.planning.plan import CountPlan, HitterPlan, Plan
from sequencer.planning.suggest import Suggested, Suggestion
from sequencer.planning.what_if import Preferred
from sequencer.reports.beside_text import beside_lines
from sequencer.reports.lines import sentence

WIDTH: Final = 80
#: Columns of the table by count: count, runs, calls, what he looks for.
_COUNT, _RUNS, _CALLS, _LOOKS = 7, 8, 38, 25
#: Runs a pitch below which one call is enough: what a plan gives up for spread over an at-bat.
_ENOUGH: Final = 0.0005
#: Calls of one count named singly; the rest are counted together.
_NAMED: Final = 6
#: Least share of a call that reasons are given for.
_SAID: Final = 0.005
#: What a mark before a call means.
COIN_FLIP: Final = (
    "~ coin flip: which of these calls leads hangs on what is not known - what surprise, a place "
    "looked for, balls in play and the last pitch are worth, how far he spreads"
)
_SIDES: Final = {"R": "hits right", "L": "hits left"}


def plan_text(plan: Plan, *, why: bool = False, asked: Sequence[Preferred] = ()) -> str:
    """Return a plan: for each hitter his card, then calls and looks by count.

    Shares of the card are tenths, those by count in a hundred; runs are per 100 plate appearances.

    Parameters
    ----------
    plan : Plan
    why : bool
        Whether to say why of each call.
    asked : sequence of Preferred
        Calls the coach would rather make: what each costs, against each hitter.
    """
    lines = [f"{plan.pitcher}: plan for {_hitters(len(plan.hitters))}, {plan.level}"]
    lines += [line for note in plan.notes for line in _note(note)]
    lines += ["", *arsenal_lines(plan.arsenal), ""]
    lines += wrap(
        "Card: tenths of his pitches. By count: shares in 100, and runs per 100 plate appearances "
        "he makes of it from there at his best; less is better for us.",
        WIDTH - 2,
        initial_indent="  ",
        subsequent_indent="  ",
    )
    if any(one.coin_flips is not None for h in plan.hitters for one in h.counts.values()):
        lines += _note(COIN_FLIP)
    answers = [plan.what_if(one) for one in asked]
    for h, hitter in enumerate(plan.hitters):
        whys = plan.whys(h) if why else None
        lines += ["", *_hitter(hitter, [answer[h].says for answer in answers], whys)]
    return "\n".join(lines)


def why_text(plan: Plan, hitter: int) -> str:
    """Return why of each call against one hitter, count by count, as a page."""
    lines = [f"Why, against {plan.hitters[hitter].hitter}"]
    for count, calls in plan.whys(hitter).items():
        lines += ["", str(count), *_whys(calls, 2)]
    return "\n".join(lines)


def _whys(calls: Sequence[Suggested], margin: int) -> list[str]:
    """Return each call with its share in a hundred and why, hanging from a margin."""
    lines = []
    for one in calls:
        if one.share >= _SAID:
            words = f"{100 * one.share:.0f} {one.call}: {one.why}"
            lines += wrap(
                words, WIDTH, initial_indent=" " * margin, subsequent_indent=" " * (margin + 2)
            )
    return lines


def arsenal_lines(arsenal: Sequence[PitchBelief]) -> list[str]:
    """Return a table of what each pitch is believed to do, each number with its spread."""
    cells = [
        (
            pitch.pitch + (" (shelved)" if pitch.shelved else ""),
            f"{pitch.spread:.1f} in (sd {pitch.spread_sd:.1f})",
            f"{pitch.charted}",
            "{:.0f} ({:.0f} to {:.0f})".format(
                *(100 * share for share in (pitch.strike_share, *pitch.strike_interval))
            ),
            f"{pitch.thrown}",
        )
        for pitch in arsenal
    ]
    head = ("pitch", "misses a side by", "charted", "strikes in 100", "thrown")
    widths = (24, 19, 9, 19, 6)
    return [
        "  " + "".join(word.ljust(width) for word, width in zip(row, widths, strict=True)).rstrip()
        for row in (head, *cells)
    ]


def _hitters(number: int) -> str:
    return "1 hitter" if number == 1 else f"{number} hitters"


def _hitter(
    one: HitterPlan,
    answers: Sequence[str] = (),
    whys: Mapping[Count, Sequence[Suggested]] | None = None,
) -> list[str]:
    """Return one hitter's lines."""
    title = f"{one.hitter} ({_SIDES.get(one.bats, one.bats)})"
    lines = [title, "-" * len(title)]
    ways = beside_lines(one.beside) if one.beside else ()
    asked = (f"what if {says}" for says in answers)
    said = (*_worth(one), *ways, *one.notes, *turns_said(one), *asked)
    lines += [line for note in said for line in _note(note)]
    lines += [f"  {'card':<16}tenths"]
    for row, calls in one.card.rows.items():
        tenths = ", ".join(f"{call} {share}" for call, share in calls)
        lines += _columns([(row, 16), (tenths, WIDTH - 18)])
    lines += [
        "",
        *_columns([("count", _COUNT), ("runs", _RUNS), ("calls", _CALLS), ("he", _LOOKS)]),
    ]
    for count in COUNTS:
        lines += _count(str(count), one.counts[count])
        lines += _whys(whys[count], 9) if whys else []
    return [line.rstrip() for line in lines]


def _note(note: str) -> list[str]:
    return wrap(sentence(note), WIDTH - 2, initial_indent="  ", subsequent_indent="  ")


def _worth(one: HitterPlan) -> Iterable[str]:
    """Say what the plan is worth, what leaning on the book does, and what rules cost."""
    yield (
        f"at his best he makes {_per_100(one.value)} runs of it; keeping to the card adds "
        f"{_per_100(one.simplicity_cost)}"
    )
    if one.trust > 0.0:
        yield (
            f"leaning on the book {round(10 * one.trust, 1):g} of 10: "
            f"saves {_plain(one.if_book_right)} if it is right, "
            f"loses {_plain(one.if_book_wrong)} if it is wrong"
        )
    if one.rules_costs:
        yield rules_said(one)
    yield from _mixing(one)


def rules_said(one: HitterPlan) -> str:
    """Say what each of the coach's rules costs in runs per 100 plate appearances."""
    *alone, (_, together) = one.rules_costs
    said = ", ".join(f"{words} {_plain(cost)}" for words, cost in alone)
    whole = f"; all together {_plain(together)}" if len(alone) > 1 else ""
    return f"your rules cost, in 100 times up: {said}{whole}"


def turns_said(one: HitterPlan) -> list[str]:
    """Say which counts are a coin flip, between which calls and on what."""
    by_pair: dict[tuple[str, str, str], list[str]] = {}
    for turn in one.turns:
        key = (str(turn.count), str(turn.call), str(turn.instead))
        by_pair.setdefault(key, []).append(turn.when)
    if not by_pair:
        looked = any(count.coin_flips is not None for count in one.counts.values())
        return ["no count is a coin flip"] if looked else []
    return [
        f"coin flip at {count}: {call}, or {instead} with {' or '.join(when)}"
        for (count, call, instead), when in sorted(by_pair.items())
    ]


def _mixing(one: HitterPlan) -> Iterable[str]:
    """Say where being read costs, and where it does not."""
    worth = {str(count): found.one_call for count, found in one.counts.items()}
    matters = sorted((c for c in worth if worth[c] >= _ENOUGH), key=lambda c: -worth[c])
    enough = [count for count in worth if worth[count] < _ENOUGH]
    if matters:
        named = ", ".join(f"{count} {_plain(worth[count])}" for count in matters)
        yield f"one call he can count on gives away, per 100 such pitches: {named}"
    if enough:
        yield f"one call is enough, even if he knows it: {', '.join(enough)}"


def _per_100(runs: float) -> str:
    return f"{round(100.0 * runs, 1) + 0.0:+.1f}"


def _plain(runs: float) -> str:
    return f"{round(100.0 * runs, 1) + 0.0:.1f}"


def _count(count: str, one: CountPlan) -> list[str]:
    return _columns(
        [
            (count, _COUNT),
            (_per_100(one.value), _RUNS),
            (calls_said(one.calls, one.coin_flips or ()), _CALLS),
            (_looks_said(one.looks), _LOOKS),
        ]
    )


def calls_said(calls: Sequence[tuple[Call, float]], coin_flips: Container[Call] = ()) -> str:
    """Return calls with shares in a hundred, coin flips marked, the small ones counted together."""
    named = [
        f"{'~' if call in coin_flips else ''}{call} {100 * share:.0f}"
        for call, share in calls[:_NAMED]
    ]
    rest = calls[_NAMED:]
    if rest:
        named.append(f"{len(rest)} more {100 * sum(share for _, share in rest):.0f}")
    return ", ".join(named)


def _looks_said(looks: Sequence[tuple[Look, float]]) -> str:
    """Return what he would best bring most often, and how often he wants to take.

    What he wants he gets only up to the patience of his level.
    """
    takes = sum(share for look, share in looks if look.readiness == "take")
    swings = [(look, share) for look, share in looks if look.readiness != "take"]
    if not swings or takes > 0.5:
        return "wants to take" if takes > 0.95 else f"wants to take {100 * takes:.0f} in 100"
    said = max(swings, key=lambda one: one[1])[0].says
    return said if takes < 0.05 else f"{said}; wants to take {100 * takes:.0f} in 100"


def _columns(cells: Sequence[tuple[str, int]]) -> list[str]:
    """Return texts side by side, each wrapped to its width."""
    wrapped = [_wrapped(text, width - 1) for text, width in cells]
    return [
        "  "
        + "".join(part.ljust(width) for part, (_, width) in zip(row, cells, strict=True)).rstrip()
        for row in zip_longest(*wrapped, fillvalue="")
    ]


def _wrapped(text: str, width: int) -> list[str]:
    return wrap(text, width, break_long_words=False, break_on_hyphens=False) or [""]


def suggestion_text(
    state: Mapping[str, Any],
    suggestion: Suggestion,
    guess_rate: float | None = None,
    beside: Beside | None = None,
) -> str:
    """Return a suggestion: the state, each call with its share in a hundred and why, the draw.

    Parameters
    ----------
    state : mapping
        As in the JSON of a suggestion: hitter, bats, count, outs, bases, last, notes.
    suggestion : Suggestion
    guess_rate : float or None
        Share of tonight's pitches a reader would have named.
    beside : Beside or None
        Walking him and pitching around him.
    """
    runs = sum(one.share * one.runs for one in suggestion.calls)
    lines = wrap(_situation(state), WIDTH)
    lines += [line for note in state["notes"] for line in _note(note)]
    lines.append(f"  He makes {_per_100(runs)} runs per 100 from here at his best.")
    for one in suggestion.calls:
        share = f"{100 * one.share:.0f}"
        lines += _columns([(share, 5), (str(one.call), 24), (one.why, WIDTH - 31)])
    lines.append(f"  Drawn: {suggestion.draw}.")
    lines += [line for said in (beside_lines(beside) if beside else ()) for line in _note(said)]
    if guess_rate is not None:
        lines.append(f"  A reader would have named {100 * guess_rate:.0f} in 100 so far.")
    return "\n".join(lines)


_OUTS: Final = ("no outs", "one out", "two outs")
_BASES: Final = {
    "": "nobody on",
    "1": "runner on first",
    "2": "runner on second",
    "3": "runner on third",
    "1-2": "runners on first and second",
    "1-3": "runners on first and third",
    "2-3": "runners on second and third",
    "1-2-3": "bases loaded",
}


def _situation(state: Mapping[str, Any]) -> str:
    """Say the state in one sentence."""
    last = f", after a {state['last']}" if state["last"] else ""
    where = f", {state['half']} {state['inning']}, us {state['score']}" if state["inning"] else ""
    return (
        f"{state['hitter']} ({_SIDES.get(state['bats'], state['bats'])}), {state['count']}, "
        f"{_OUTS[state['outs']]}, {_BASES[state['bases']]}{where}{last}"
    )
