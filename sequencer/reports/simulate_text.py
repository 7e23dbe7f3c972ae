"""A simulation as text for a terminal of 80 columns."""

from collections.abc import Sequence
from typing import Final

from sequencer.planning.simulated.opponents import OPPONENTS
from sequencer.planning.simulated.simulation import Simulation
from sequencer.reports.lines import indented

#: Columns of a way's name and of a mind.
_NAME, _MIND = 24, 8
#: What the minds are called at the head of the table, a word a line.
_HEADS: Final = {
    "best reply": ("best", "reply"),
    "reads the log": ("reads", "log"),
    "guesses by count": ("guesses", "count"),
    "his habit": ("his", "habit"),
    "sits fastball": ("sits", "fast"),
    "sits soft": ("sits", "soft"),
    "random": ("", "random"),
}
#: What such a table cannot tell.
NOT_TOLD: Final = (
    "What it does not tell: all these hitters live in the world of the plan's own model, where "
    "calls are worth what it believes they are; only those who read and guess learn from a log."
)


def simulate_text(found: Simulation) -> str:
    """Return what every mind makes of every way, what that is over the plan, and what is meant."""
    title = f"{found.pitcher} against {len(found.hitters)} hitters of several minds, {found.level}"
    lines = [title, *indented(_said(found)), ""]
    lines += ["Runs per 100 plate appearances; less is better for us", *_head(found.minds)]
    runs, half = found.runs
    for w, way in enumerate(found.ways):
        marks = ["*" if m == found.worst[w] else " " for m in range(len(found.minds))]
        lines += [
            _row(way, [f"{_signed(x)}{mark}" for x, mark in zip(runs[w], marks, strict=True)])
        ]
        lines += [_row("", [f"+/-{x:.1f} " for x in half[w]])]
    lines += ["", "Over the plan, game by game", *_head(found.minds)]
    over, half = found.over_plan
    for w, way in enumerate(found.ways[1:], start=1):
        lines += [_row(way, [f"{_signed(x, 2)} " for x in over[w]])]
        lines += [_row("", [f"+/-{x:.2f} " for x in half[w]])]
    lines += ["", *_believed(found), "", *indented(_minds(found.minds)), "", *indented([NOT_TOLD])]
    return "\n".join(lines)


def _said(found: Simulation) -> list[str]:
    past = (
        f"his own past mix rests on {found.past_pitches} calls of the book"
        if found.past_pitches
        else "the book holds no calls of his, so that his own past mix is the league's"
    )
    lean = f" The plan leans on the book {round(10.0 * found.trust, 1):g} of 10."
    return [
        f"{found.games} games: hitters drawn from what is believed of them, each with his mirror "
        f"image; a log of {_pitches(found.watched)} in their dugout; the same chance for all. "
        f"{past[:1].upper()}{past[1:]}.{lean if found.trust else ''}",
        "* is the mind that makes most of a way: its worst case. +/- is a 95 % interval.",
    ]


def _pitches(number: int) -> str:
    return "1 pitch" if number == 1 else f"{number} pitches"


def _believed(found: Simulation) -> list[str]:
    """Say what hitters just as believed make of each way at their best, and of the plan."""
    worst = found.against_believed[0].max(axis=1)
    low, high = found.between_hitters
    ways = ", ".join(
        f"{way} {_signed(x)}" for way, x in zip(found.ways[1:], worst[1:], strict=True)
    )
    return indented(
        [
            "Against the hitters just as they are believed to be the plan guarantees "
            f"{_signed(100.0 * found.guarantee.mean())}, and no mind made more of it than "
            f"{_signed(worst[0])}. The worst of the other ways: {ways}.",
            f"At their best against the plan 90 in 100 drawn hitters make {_signed(low)} to "
            f"{_signed(high)}.",
        ]
    )


def _minds(minds: Sequence[str]) -> list[str]:
    return [f"{mind}: {OPPONENTS[mind]}." for mind in minds]


def _head(minds: Sequence[str]) -> list[str]:
    return [_row("", [f"{_HEADS[mind][line]} " for mind in minds]) for line in range(2)]


def _row(name: str, cells: Sequence[str]) -> str:
    return (name.ljust(_NAME) + "".join(cell.rjust(_MIND) for cell in cells)).rstrip()


def _signed(runs: float, digits: int = 1) -> str:
    return f"{round(float(runs), digits) + 0.0:+.{digits}f}"
