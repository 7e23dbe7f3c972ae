"""The pitches behind what a review found: lists, zone pictures, at-bats pitch by pitch."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from sequencer.baseball.zone import Zone, centre_of, to_catcher, to_hitter
from sequencer.reports.ledger_text import turning_lines
from sequencer.review.coded import Coded, Whose, encode
from sequencer.review.findings import Finding
from sequencer.review.reviewed import Reviewed
from sequencer.review.turning_points import TurningPoint
from tui.pages import Row, records
from tui.picture_views import Seen, Spot, ZoneView
from tui.picturing import where_zone
from tui.shares import asked_cell, cell_in_view, many
from tui.views import PatternView

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True, eq=False)
class Source:
    """The log that was reviewed, as a list of what its pitches are.

    Attributes
    ----------
    log : Coded
    rows : list of dict
        Of the frame, by its positions.
    zone : Zone
    """

    log: Coded
    rows: list[Row]
    zone: Zone

    @classmethod
    def of(cls, frame: "pd.DataFrame", whose: Whose, zone: Zone) -> "Source":
        """Read a frame that was reviewed."""
        return cls(encode(frame, whose), records(frame), zone)

    def behind(self, finding: Finding, reviewed: Reviewed) -> list[Row]:
        """Return the pitches that met a finding's condition."""
        codes = getattr(self.log, reviewed.of)
        names = getattr(self.log.words, f"{reviewed.of}s")
        own = np.flatnonzero(codes == names.index(reviewed.name))
        return [self.rows[at] for at in self.log.row[own[finding.rows]].tolist()]


def where_drawn(rows: Sequence[Row], zone: Zone) -> ZoneView:
    """Draw where pitches went, as many as went to each cell."""
    return where_zone(points_of(rows, zone), zone, _drawn_side(rows))


def points_of(rows: Sequence[Row], zone: Zone) -> tuple[Seen, ...]:
    """Return pitches as points of a picture; their lines are those of the list beside it.

    A habit is one of in and away: where hitters of both sides came up, those to left-handed ones
    are mirrored, so that away is on one side.
    """
    mirrored = not _side(rows)
    return tuple(_point(row, zone, mirrored=mirrored and row["bats"] == "L") for row in rows)


def _point(row: Row, zone: Zone, *, mirrored: bool) -> Seen:
    cell, side = cell_in_view(row, zone), row.get("side_in")
    asked = asked_cell(row.get("target"), row["bats"], zone)
    if mirrored:
        cell, asked = (to_catcher(to_hitter(one, "L"), "R") if one else "" for one in (cell, asked))
        side = None if side is None else -side
    return Seen(cell, row["pitch"] or "", side, row.get("height_in"), asked=asked)


def _drawn_side(rows: Sequence[Row]) -> str:
    """Return the side of the hitter on the picture: the right one where both came up."""
    return _side(rows) or ("R" if rows else "")


def mirrored_note(rows: Sequence[Row]) -> str:
    """Say how many pitches are mirrored, "" for none."""
    lefts = sum(row["bats"] == "L" for row in rows) if not _side(rows) else 0
    return f"{many(lefts, 'pitch')} to left-handed hitters mirrored." if lefts else ""


def _side(rows: Sequence[Row]) -> str:
    sides = {row["bats"] or "" for row in rows}
    return sides.pop() if len(sides) == 1 else ""


def pitch_line(row: Row, *, staff: bool = False) -> str:
    """Return one pitch of a list: when, the count, what it was, to whom, against whom."""
    day = row["date"].strftime("%m-%d") if row["date"] is not None else ""
    where = f" {row['cell']}" if row["cell"] else ""
    by = f", {row['pitcher']}" if staff else ""
    return (
        f"{day} {row['balls']}-{row['strikes']} {row['pitch']}{where}, "
        f"{row['play'] or row['result']}; {row['hitter']} ({row['them']}){by}"
    )


def turning_views(points: Sequence[TurningPoint], source: Source) -> Iterator[PatternView]:
    """Yield the at-bats that cost runs, in the order of play, with their pitches."""
    at_bats: dict[tuple[str, ...], list[list[Row]]] = {}
    for at_bat in _at_bats(source.rows):
        at_bats.setdefault(_key(at_bat[-1]), []).append(at_bat)
    for i, point in enumerate(points):
        met = at_bats.get((point.game, point.inning, point.half, point.pitcher, point.count), [])
        place = next((n for n, rows in enumerate(met) if rows[-1]["hitter"] == point.hitter), None)
        rows = met.pop(place) if place is not None else []
        day = f"{point.game}, {point.half} {point.inning}" if point.half else point.game
        yield PatternView(
            str(i),
            " ".join(line.strip() for line in turning_lines(point)),
            point.cost_most not in ("outcome", "umpire"),
            f"{day}, {point.pitcher} to {point.hitter or 'a hitter'}: {point.runs:+.2f} runs.",
            _thrown(rows, source.zone),
            tuple(f"{n} {pitch_line(row)}" for n, row in enumerate(rows, 1)),
            points=points_of(rows, source.zone),
        )


def _at_bats(rows: Iterable[Row]) -> Iterator[list[Row]]:
    at_bat: list[Row] = []
    for row in rows:
        if at_bat and (row["game_id"], row["at_bat"]) != (
            at_bat[-1]["game_id"],
            at_bat[-1]["at_bat"],
        ):
            yield at_bat
            at_bat = []
        at_bat.append(row)
    if at_bat:
        yield at_bat


def _key(row: Row) -> tuple[str, ...]:
    count = f"{row['balls']}-{row['strikes']}"
    inning = "" if row["inning"] is None else str(row["inning"]).removesuffix(".0")
    return (row["game"] or "", inning, row["half"] or "", row["pitcher"] or "", count)


def _thrown(rows: Sequence[Row], zone: Zone) -> ZoneView:
    """Draw the pitches of one at-bat by their number, the last one loud."""
    spots = []
    for number, row in enumerate(rows, 1):
        side, height, cell = row.get("side_in"), row.get("height_in"), cell_in_view(row, zone)
        if (side is None or height is None) and not cell:
            continue
        at = (float(side), float(height)) if side is not None and height is not None else None
        spots.append(Spot(*(at or centre_of(cell, zone)), str(number % 10), number == len(rows)))
    return ZoneView(zone.top_in, zone.bottom_in, _side(rows), tuple(spots))
