"""A review of their pitcher for our own hitters: what to sit on, and how far to trust it."""

from collections.abc import Iterator, Sequence
from typing import Final

from sequencer.reports.lines import WIDTH
from sequencer.reports.review_text import bullets, size, titled, wrapped
from sequencer.review.mixes import Mixed, sit_on
from sequencer.review.reviewed import Review, Reviewed

_TABLES: Final = {
    "": "What he usually throws, of 100 (95 in 100: from-to)",
    "R": "To our right-handed hitters",
    "L": "To our left-handed hitters",
}
_ROWS: Final = {
    "all": "all his pitches",
    "first pitch": "first pitch",
    "hitter's": "hitter's counts",
    "even": "1-1, 2-2",
    "pitcher's": "pitcher's counts",
    "full": "3-2",
    "two strikes": "two strikes",
}
_NAME: Final = 18
_COUNT: Final = 5
_CELL: Final = 14


def opponent_text(review: Review) -> str:
    """Lay a review of their pitchers out for our hitters.

    Parameters
    ----------
    review : Review
        Made with `whose="them"`.

    Returns
    -------
    str
        Lines of at most 80 columns, with a line break at the end.
    """
    if review.says:
        return review.says + "\n"
    return "\n\n".join("\n".join(_one(each)) for each in review.pitchers) + "\n"


def _one(reviewed: Reviewed) -> Iterator[str]:
    yield from titled(f"Their pitcher {reviewed.name}: {size(reviewed)}")
    yield ""
    said = sit_on(reviewed.mixes, reviewed.findings)
    if said:
        yield "What to look for"
        yield from bullets(said)
    else:
        yield "Nothing to sit on: no pitch is sure to come three times in five."
    for bats, title in _TABLES.items():
        rows = [each for each in reviewed.mixes if each.bats == bats]
        if rows:
            yield ""
            yield from _table(title, rows)
    yield ""
    yield "How far to trust it"
    for line in _trust(reviewed):
        yield from wrapped(line)


def _table(title: str, rows: Sequence[Mixed]) -> Iterator[str]:
    yield title
    yield f"{'pitches':>{_NAME + _COUNT}}" + "".join(f"{name:>{_CELL}}" for name in rows[0].counts)
    for row in rows:
        cells = "".join(f"{_cell(row, name):>{_CELL}}" for name in row.counts)
        yield f"{_ROWS[row.when]:<{_NAME}}{row.pitches:>{_COUNT}}{cells}"[:WIDTH]


def _cell(row: Mixed, name: str) -> str:
    share, (low, high) = row.share(name)
    return f"{100 * share:.0f} ({100 * low:.0f}-{100 * high:.0f})"


def _trust(reviewed: Reviewed) -> Iterator[str]:
    """Yield what these pitches are worth: how many games, how far off, what could be there unseen.

    He may throw otherwise to other hitters, or on another day.
    """
    if reviewed.games == 1:
        yield "One game: he may throw quite otherwise the next time. Use it for the first time up."
    elif not reviewed.findings:
        yield from reviewed.notes
    yield "The numbers in brackets hold his true share 95 times in 100, if he stays as he was."
    if reviewed.could_find:
        points = sorted(reviewed.could_find.values())
        yield (
            f"A habit would have been found from {points[0]:.0f} points of 100 on at best, "
            f"{points[-1]:.0f} at worst; smaller ones may be there unseen."
        )
    yield reviewed.reader.says
