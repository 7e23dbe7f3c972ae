"""Where throws of bullpens went about each target, with the ring that holds half of them."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from sequencer.baseball.levels import Level, level
from sequencer.baseball.zone import centre_of, to_catcher
from sequencer.estimates.command import average, charted
from sequencer.estimates.misses import PRIOR_THROWS, spread_of
from sequencer.estimates.pitcher import PitchBelief
from sequencer.live.scouting import Scouting
from sequencer.records.frames import bullpen_frame
from sequencer.records.sentences import place_words
from sequencer.records.store import Book
from tui.pages import Row, records
from tui.picture_views import Picture, PicturesAsked, PictureSet, Seen, Spot
from tui.picturing import EVERY, kinds, of_kind, where_picture
from tui.shares import cell_in_view, many

if TYPE_CHECKING:
    import pandas as pd

#: Radius, in standard deviations, of the ring that holds half of normal throws in two directions:
#: the median of the Rayleigh distribution, the root of 2 ln 2.
_HALF: Final = float(np.sqrt(2.0 * np.log(2.0)))
_POINTS: Final = 72
#: Throws drawn one by one at most, the latest: more would hide each other.
_DRAWN: Final = 40
_ALL: Final = "every throw"
_NONE: Final = "No throw of his is charted yet."


@dataclass(frozen=True, eq=False)
class _Pens:
    """The throws of a pitcher, in order, as rows and as points of a picture."""

    frame: "pd.DataFrame"
    rows: list[Row]
    asked: PicturesAsked
    at: Level


def pen_pictures(book: Book, pitcher_id: str, pen_id: str) -> PictureSet:
    """Return pictures of a pitcher's throws: each call with its target, then all of them.

    Parameters
    ----------
    book : Book
    pitcher_id : str
    pen_id : str
        The bullpen that is open: its calls come first, the latest before the others.
    """
    pens = _pens(book, pitcher_id)
    if not pens.rows:
        return PictureSet(f"{pens.asked.title}: {_NONE}", ())
    held: dict[tuple[str, str], list[int]] = {}
    for i, row in enumerate(pens.rows):
        if row["target"] and row["pitch"]:
            held.setdefault((row["pitch"], _target(row)), []).append(i)

    def latest(call: tuple[str, str]) -> tuple[bool, int]:
        own = held[call]
        return any(pens.rows[i]["bullpen_id"] == pen_id for i in own), own[-1]

    calls = sorted(held, key=latest, reverse=True)
    made = [_about(pens, call, held[call]) for call in calls]
    for kind in kinds(pens.asked.seen):
        own = of_kind(pens.asked.seen, kind)
        made.append(replace(where_picture(pens.asked, own, kind, pens.at.zone), title=_ALL))
    return PictureSet(pens.asked.title, tuple(made), tuple(one.line for one in pens.asked.seen))


def _pens(book: Book, pitcher_id: str) -> _Pens:
    person = book.person(pitcher_id)
    at = level(Scouting(book).level_of(person))
    frame = bullpen_frame(book, pitcher=person.id)
    rows = records(frame)
    seen = tuple(
        Seen(
            cell_in_view({**row, "bats": row["hitter_side"]}, at.zone),
            row["pitch"] or "",
            row["side_in"],
            row["height_in"],
            line=_line(row),
        )
        for row in rows
    )
    title = f"{person.label}: {many(len(rows), 'throw')} in bullpens"
    asked = PicturesAsked(title, "thrown", seen, at.zone.top_in, at.zone.bottom_in, thing="throw")
    return _Pens(frame, rows, asked, at)


def _target(row: Row) -> str:
    """Return a throw's target in the catcher's frame."""
    return to_catcher(row["target"], row["hitter_side"] or "R")


def _line(row: Row) -> str:
    strike = "" if row["strike"] is None else ", strike" if row["strike"] else ", ball"
    asked = f" asked {place_words(_target(row), '')}," if row["target"] else ""
    side = row["hitter_side"] or "R"
    where = place_words(to_catcher(row["cell"] or "", side), "") or "place not seen"
    number = f"{row['set']:.0f}-{row['throw']:.0f}"
    return f"{row['date']:%m-%d} {number} {row['pitch']},{asked} {where}{strike}"


def _about(pens: _Pens, call: tuple[str, str], own: Sequence[int]) -> Picture:
    """Return the throws of one call about its target, the ring that holds half of such throws."""
    pitch, target = call
    belief = _belief(pens, pitch, own)
    counted = where_picture(pens.asked, own, EVERY, pens.at.zone)
    aim = np.array(centre_of(target, pens.at.zone))
    centre = aim + belief.bias
    turn = np.linspace(0.0, 2.0 * np.pi, _POINTS, endpoint=False)
    circle = _HALF * np.stack([np.cos(turn), np.sin(turn)])
    ring = centre[:, None] + np.linalg.cholesky(belief.cov) @ circle
    spots = [Spot(float(aim[0]), float(aim[1]), "+")]
    for i in own[-_DRAWN:]:
        one = pens.asked.seen[i]
        if one.side_in is not None and one.height_in is not None:
            spots.append(Spot(one.side_in, one.height_in, "o"))
        elif one.cell:
            spots.append(Spot(*centre_of(one.cell, pens.at.zone), "o"))
    outline = tuple((float(x), float(y)) for x, y in ring.T)
    view = replace(counted.zone, cells={}, legend="", spots=tuple(spots), outline=outline)
    legend = ("+ the target", "o a throw", "· half land inside")
    where = place_words(target, "")
    rests_on = " ".join(_says(pens, pitch, where, belief, own))
    return replace(counted, title=f"{pitch} {where}", zone=view, legend=legend, rests_on=rests_on)


def _belief(pens: _Pens, pitch: str, own: Sequence[int]) -> PitchBelief:
    """Return what these throws say of his misses, the level's usual spread before them."""
    usual = average(pens.at.name, arsenal=(pitch,)).arsenal[0]
    throws = charted(pens.frame.iloc[list(own)], pitch, pens.at.zone, "hitter_side")
    found = spread_of(throws, usual.cov)
    return replace(
        usual,
        bias=found.mean,
        cov=found.cov,
        bias_cov=found.mean_cov,
        freedom=found.freedom,
        lost=found.lost,
        charted=len(throws.low),
    )


def _says(
    pens: _Pens, pitch: str, where: str, belief: PitchBelief, own: Sequence[int]
) -> list[str]:
    pens_of = len({pens.rows[i]["bullpen_id"] for i in own})
    across, up = (float(inches) for inches in belief.bias)
    side_sd, up_sd = (float(sd) for sd in np.sqrt(np.diag(belief.bias_cov)))
    low, high = belief.spread_interval
    return [
        f"{many(len(own), 'throw')} in {many(pens_of, 'bullpen')}, {belief.charted} measured.",
        f"On average {abs(across):.1f} in {'right' if across > 0 else 'left'} (±{side_sd:.1f}), "
        f"{abs(up):.1f} {'high' if up > 0 else 'low'} (±{up_sd:.1f}) of it.",
        f"Spread {belief.spread:.1f} in to a side ({low:.1f} to {high:.1f}); the usual one "
        f"of {pens.at.name} counts as {PRIOR_THROWS:.0f} throws.",
    ]
