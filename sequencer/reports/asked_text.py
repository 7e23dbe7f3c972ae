"""What the plan asked, what was called and what was thrown, as a small table of a page."""

from collections.abc import Iterator
from textwrap import wrap

from sequencer.reports.lines import WIDTH
from sequencer.review.asked import Asked, Share


def asked_lines(asked: Asked | None) -> list[str]:
    """Return the table's lines, none where there is nothing to hold against anything."""
    return list(_lines(asked)) if asked else []


def _lines(asked: Asked) -> Iterator[str]:
    shares = (*asked.types, *asked.sides)
    title = "Asked, called, thrown: of 100 pitches (95 in 100: from-to)"
    yield title
    yield "-" * len(title)
    yield _row(f"{asked.pitches} pitches", "plan asks", "called", "thrown")
    for each in asked.types:
        yield _row(each.what["pitch"], *_cells(each))
    if asked.sides:
        yield _row(f"{asked.placed} with a place", "", "", "")
    for each in asked.sides:
        side = each.what["side"]
        yield _row("over the middle" if side == "middle" else side, *_cells(each))
    if any(each.off for each in shares):
        yield "* not what the plan asks for (a usual hitter of that side), and not by chance."
    if asked.with_call:
        yield from wrap(_cross_ups(asked), WIDTH)


def _cells(share: Share) -> tuple[str, str, str]:
    """Return the share asked for, called and thrown as a page has them."""
    asked = "-" if share.asked is None else f"{100 * share.asked:.0f}"
    called = _span(share.called) if share.called else "-"
    thrown = _span(share.thrown)
    if share.off and share.called:
        called += "*"
    elif share.off:
        thrown += "*"
    return asked, called, thrown


def _span(share: tuple[float, tuple[float, float]]) -> str:
    middle, (low, high) = share
    return f"{100 * middle:.0f} ({100 * low:.0f}-{100 * high:.0f})"


def _row(name: str, asked: str, called: str, thrown: str) -> str:
    return f"  {name:<22}{asked:>9}   {called:<17}{thrown:<17}".rstrip()


def _cross_ups(asked: Asked) -> str:
    if not asked.cross_ups:
        return f"No cross-up: all {asked.with_call} called pitches came as called."
    return (
        f"Cross-ups: {asked.cross_ups} of {asked.with_call} called pitches came as another pitch."
    )
