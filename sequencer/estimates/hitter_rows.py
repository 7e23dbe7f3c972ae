"""A hitter's pitches as arrays: what came, what he did, what the league says, what traits add."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final, NamedTuple

import numpy as np

from sequencer.baseball import levels
from sequencer.baseball.count import EVEN, HITTERS_COUNTS
from sequencer.baseball.pitches import FAMILIES, TYPES
from sequencer.estimates.arrays import Bools, Floats, Ints
from sequencer.estimates.blurred import blurred, sharp
from sequencer.estimates.entries import SEEN_FROM, Entries, entries_of
from sequencer.estimates.league import League
from sequencer.estimates.places import SEEN_ERROR_IN, numbers
from sequencer.estimates.traits import AREAS, INDEX, STEPS, TRAITS, WEIGHTS, areas_at

if TYPE_CHECKING:
    import pandas as pd

#: Families in the order of `HitterRows.family`.
FAMILY_ORDER: Final = (*FAMILIES, "unknown")
#: What he did, as numbers; a swing or a take of which no more is known has its own.
TOOK, HIT, MISSED, FOULED, PUT, SWUNG, LEFT, UNKNOWN = range(8)
_DID: Final = MappingProxyType(
    {
        "ball": TOOK,
        "called strike": TOOK,
        "hit by pitch": HIT,
        "swinging strike": MISSED,
        "foul tip": MISSED,
        "foul": FOULED,
        "in play": PUT,
    }
)
_FAMILY: Final = MappingProxyType(
    {kind: FAMILY_ORDER.index(family) for kind, family in TYPES.items()}
)
_YES: Final = frozenset({True, "1", "True", "true"})
OTHER_SIDE: Final = MappingProxyType({"R": "L", "L": "R"})
_SAME: Final = (0.0, 1.0, 0.5)


def _belief_weight() -> Floats:
    weight = np.zeros((4, 3))
    for counts, size in ((EVEN, 0.5), (HITTERS_COUNTS, 1.0)):
        for balls, strikes in counts:
            weight[balls, strikes] = size
    return weight


#: How much of what he looks for shows in a count, (4, 3): all of it where he can choose his pitch
#: (assumption).
BELIEF_WEIGHT: Final = _belief_weight()


@dataclass(frozen=True, slots=True)
class HitterRows:
    """The usable pitches to a hitter from one side, all of shape (n, ...).

    Attributes
    ----------
    at : where in the log each stands
    family : number in `FAMILY_ORDER` ; did : see `TOOK` and the others
    base : (n, steps) the league's log odds (runs for `in_play`; a swing when ready)
    load : (n, steps, traits) what one unit of each trait adds
    offered, bunts : pitches meant for him, and how many of them he bunted at
    notes : sentences for a coach about what could not be used
    """

    at: Ints
    family: Ints
    balls: Ints
    strikes: Ints
    did: Ints
    base: Floats
    load: Floats
    offered: int
    bunts: int
    notes: tuple[str, ...]


def rows_of(frame: "pd.DataFrame", bats: str, league: League) -> HitterRows:
    """Return the pitches of a log to a hitter who hits from `bats`.

    Pitch-outs, intentional balls, bunts and pitches from his other side are left out. A pitch of
    unsure place is averaged over where it may have crossed (see `blurred`).
    """
    meant = _meant(frame, bats)
    bunts = meant & np.array([word in _YES for word in column(frame, "bunt")], dtype=np.bool_)
    at = np.flatnonzero(meant & ~bunts)
    pitches = _Pitches(
        coded(frame, "pitch", _FAMILY, FAMILY_ORDER.index("unknown"))[at],
        numbers(frame, "balls")[at].astype(np.intp),
        numbers(frame, "strikes")[at].astype(np.intp),
        coded(frame, "throws", {OTHER_SIDE[bats]: 0, bats: 1}, 2)[at],
    )
    usual = levels.level(league.level).zone
    places = entries_of(frame, usual, [bats] * len(frame)).take(at)
    base, areas = _averaged(league, pitches, places)
    load = _loads(areas, pitches, league)
    notes = (_without_place(places.lost, len(at)),) if places.lost else ()
    counts = (int(meant.sum()), int(bunts.sum()))
    family, balls, strikes, _ = pitches
    return HitterRows(at, family, balls, strikes, _did(frame)[at], base, load, *counts, notes)


def _without_place(lost: int, n: int) -> str:
    which = "No pitch has a place" if lost == n else f"{lost} of {n} pitches have no place"
    return f"{which}: they tell how he swings and misses, not where."


def column(frame: "pd.DataFrame", name: str) -> list[Any]:
    """Return a column as a list, empty words where it is absent."""
    return frame[name].tolist() if name in frame.columns else [""] * len(frame)


def coded(frame: "pd.DataFrame", name: str, codes: Mapping[str, int], otherwise: int) -> Ints:
    """Return a column of words as numbers; `otherwise` where it is absent or a word unknown."""
    return np.array([codes.get(word, otherwise) for word in column(frame, name)], dtype=np.intp)


def from_side(frame: "pd.DataFrame", bats: str) -> Bools:
    """Return which pitches he is said to have seen from this side of the plate."""
    return np.asarray(coded(frame, "bats", {bats: 1}, 0) == 1)


def _meant(frame: "pd.DataFrame", bats: str) -> Bools:
    """Return which pitches were meant for him, from his side, in a count there is."""
    plain = [not (isinstance(word, str) and word) for word in column(frame, "intent")]
    own = ~from_side(frame, OTHER_SIDE[bats])
    balls, strikes = numbers(frame, "balls"), numbers(frame, "strikes")
    counted = (balls >= 0) & (balls <= 3) & (strikes >= 0) & (strikes <= 2)
    return np.asarray(np.array(plain, dtype=np.bool_) & own & counted)


def _did(frame: "pd.DataFrame") -> Ints:
    """Return what he did; a log may say of a pitch of unknown result whether he swung."""
    did = coded(frame, "result", _DID, UNKNOWN)
    if "swing" not in frame.columns:
        return did
    known = {True: SWUNG, False: LEFT}
    told = [known[word] if isinstance(word, bool) else UNKNOWN for word in column(frame, "swing")]
    return np.where(did == UNKNOWN, np.array(told, dtype=np.intp), did)


class _Pitches(NamedTuple):
    """Family, count, and `same` as a number of `_SAME`."""

    family: Ints
    balls: Ints
    strikes: Ints
    same: Ints


def _averaged(league: League, pitches: _Pitches, places: Entries) -> tuple[Floats, Floats]:
    """Return the league's steps, (n, steps), and how much of each area counts there."""
    n = len(pitches.family)
    base, areas = np.empty((n, len(STEPS))), np.empty((n, len(STEPS), len(AREAS)))
    exact = np.flatnonzero(places.measured)
    areas[exact] = areas_at(places.u[exact], places.v[exact])[:, None]
    seen = np.where(places.measured, -1, places.seen)
    kinds = (pitches.family * len(_SAME) + pitches.same) * 8 + seen + 1
    for kind in np.unique(kinds):
        own = np.flatnonzero(kinds == kind)
        one = own[0]
        family, same = FAMILY_ORDER[pitches.family[one]], _SAME[pitches.same[one]]
        count = pitches.balls[own], pitches.strikes[own]
        if places.measured[one]:
            base[own] = sharp(league, family, same, places.u[own], places.v[own], *count)
        else:
            table = blurred(league, family, same, SEEN_ERROR_IN[SEEN_FROM[seen[one]]])
            where = places.column[own], places.row[own], *count
            base[own], areas[own] = table.base[where], table.areas[where]
    return base, areas


_ALWAYS, _GUARDING = (
    np.array([[WEIGHTS[family][step][i] for step in STEPS] for family in FAMILY_ORDER])
    for i in range(2)
)


def _loads(areas: Floats, pitches: _Pitches, league: League) -> Floats:
    """Return what one unit of each trait adds to each step, (n, steps, traits)."""
    load = np.empty((len(areas), len(STEPS), len(TRAITS)))
    by_step = areas.transpose(1, 0, 2)
    for i in np.unique(pitches.family):
        for guarding in (False, True):
            own = np.flatnonzero((pitches.family == i) & ((pitches.strikes == 2) == guarding))
            weights = _ALWAYS[i] + _GUARDING[i] if guarding else _ALWAYS[i]
            load[own] = np.matmul(by_step[:, own], weights).transpose(1, 0, 2)
    nats = _nats_of_belief(pitches, league)
    for step, worth in (("miss", league.surprise_miss), ("foul", league.surprise_foul)):
        load[:, STEPS.index(step), INDEX["fast_belief"]] = worth * nats
    return load


def _nats_of_belief(pitches: _Pitches, league: League) -> Floats:
    """Return how much more each pitch surprises him for looking for a fast one, nats a unit.

    The slope of minus the log of what he gave it, at the league's belief.
    """
    fast = league.fast_share[pitches.balls, pitches.strikes]
    slope = np.where(pitches.family == 0, fast - 1.0, fast)
    known = pitches.family < len(FAMILIES)
    return np.where(known, slope, 0.0) * BELIEF_WEIGHT[pitches.balls, pitches.strikes]
