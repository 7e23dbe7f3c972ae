"""A plan and a suggestion as text for a terminal of 80 columns."""

from collections.abc import Iterable, Mapping, Sequence
from itertools import zip_longest
from textwrap import wrap
from typing import Any, Final

from sequencer.baseball.count import COUNTS
from sequencer.estimates.pitcher import PitchBelief
from sequencer.planning.calls import Call
from sequencer.planning.looks import Look
from sequencer.planning.plan import CountPlan, HitterPlan, Plan
from sequencer.planning.suggest import Suggestion
from sequencer.reports.lines import sentence

WIDTH: Final = 80
#: Columns of the table by count: count, runs, calls, what he looks for.
_COUNT, _RUNS, _CALLS, _LOOKS = 7, 8, 38, 25
#: Runs a pitch below which one call is enough: what a plan gives up for spread over an at-bat.
_ENOUGH: Final = 0.0005
#: Calls of one count named singly; the rest are counted together.
_NAMED: Final = 6
_SIDES: Final = {"R": "hits right", "L": "hits left"}


def plan_text(plan: Plan) -> str:
    """Return a plan: for each hitter his card, then calls and looks by count.

    Shares of the card are tenths, those by count in a hundred; runs are per 100 plate appearances.
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
    for hitter in plan.hitters:
        lines += ["", *_hitter(hitter, plan.trust)]
    return "\n".join(lines)


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


def _hitter(one: HitterPlan, trust: float) -> list[str]:
    """Return one hitter's lines."""
    title = f"{one.hitter} ({_SIDES.get(one.bats, one.bats)})"
    lines = [title, "-" * len(title)]
    lines += [line for note in (*_worth(one, trust), *one.notes) for line in _note(note)]
    lines += [f"  {'card':<16}tenths"]
    for row, calls in one.card.rows.items():
        said = ", ".join(f"{call} {tenths}" for call, tenths in calls)
        lines += _columns([(row, 16), (said, WIDTH - 18)])
    lines += [
        "",
        *_columns([("count", _COUNT), ("runs", _RUNS), ("calls", _CALLS), ("he", _LOOKS)]),
    ]
    for count in COUNTS:
        lines += _count(str(count), one.counts[count])
    return [line.rstrip() for line in lines]


def _note(note: str) -> list[str]:
    return wrap(sentence(note), WIDTH - 2, initial_indent="  ", subsequent_indent="  ")


def _worth(one: HitterPlan, trust: float) -> Iterable[str]:
    """Say what the plan is worth, what leaning on the book does, and what rules cost."""
    yield (
        f"at his best he makes {_per_100(one.value)} runs of it; keeping to the card adds "
        f"{_per_100(one.simplicity_cost)}"
    )
    if trust > 0.0:
        yield (
            f"leaning on the book {10 * trust:.0f} of 10: saves {_plain(one.if_book_right)} if it "
            f"is right, loses {_plain(one.if_book_wrong)} if it is wrong"
        )
    if one.rules_cost > 0.0:
        yield f"your rules cost {_plain(one.rules_cost)}"
    yield from _mixing(one)


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
    return f"{100.0 * runs:+.1f}"


def _plain(runs: float) -> str:
    return f"{100.0 * runs:.1f}"


def _count(count: str, one: CountPlan) -> list[str]:
    return _columns(
        [
            (count, _COUNT),
            (_per_100(one.value), _RUNS),
            (calls_said(one.calls), _CALLS),
            (_looks_said(one.looks), _LOOKS),
        ]
    )


def calls_said(calls: Sequence[tuple[Call, float]]) -> str:
    """Return calls with shares in a hundred, the small ones counted together."""
    named = [f"{call} {100 * share:.0f}" for call, share in calls[:_NAMED]]
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
    state: Mapping[str, Any], suggestion: Suggestion, guess_rate: float | None = None
) -> str:
    """Return a suggestion: the state, each call with its share in a hundred and why, the draw.

    Parameters
    ----------
    state : mapping
        As in the JSON of a suggestion: hitter, bats, count, outs, bases, last, notes.
    suggestion : Suggestion
    guess_rate : float or None
        Share of tonight's pitches a reader would have named.
    """
    runs = sum(one.share * one.runs for one in suggestion.calls)
    lines = wrap(_situation(state), WIDTH)
    lines += [line for note in state["notes"] for line in _note(note)]
    lines.append(f"  He makes {_per_100(runs)} runs per 100 from here at his best.")
    for one in suggestion.calls:
        share = f"{100 * one.share:.0f}"
        lines += _columns([(share, 5), (str(one.call), 24), (one.why, WIDTH - 31)])
    lines.append(f"  Drawn: {suggestion.draw}.")
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
    return (
        f"{state['hitter']} ({_SIDES.get(state['bats'], state['bats'])}), {state['count']}, "
        f"{_OUTS[state['outs']]}, {_BASES[state['bases']]}{last}"
    )
