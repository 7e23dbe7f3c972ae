"""Today's umpire: where he calls strikes, learnt from the game's called pitches one by one.

His zone is his level's with its edges a few inches elsewhere: wider or narrower, taller or shorter,
all of it higher or lower. The prior is how much games differ, so that ten pitches hardly move it
and a whole game tells an inch. A pitch of unsure place is averaged over where it may have been.
"""

from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from sequencer.baseball import levels
from sequencer.baseball.pitches import TYPES
from sequencer.estimates.arrays import Floats, expit
from sequencer.estimates.blurred import GRID, entered, taken
from sequencer.estimates.entries import SEEN_FROM, Entries, entries_of
from sequencer.estimates.hitter_rows import FAMILY_ORDER, coded
from sequencer.estimates.league import League
from sequencer.estimates.places import SEEN_ERROR_IN, numbers, words
from sequencer.estimates.umpires import Edges

if TYPE_CHECKING:
    import pandas as pd

#: Spread among professional games of each part of `Edges`, inches: expectation and maximisation on
#: the 2,347 called pitches of the fifteen games of one day, 2023 (`tests.estimates.umpires_open`).
APART_IN: Final = np.array([0.25, 0.6, 0.35])
#: How many times wider the spread is below the professionals (assumption: their umpires are picked
#: and graded, and what is usual at other levels is itself an assumption).
WIDER: Final = MappingProxyType(
    {
        "9-10": 4.0,
        "11-12": 4.0,
        "13-14": 3.5,
        "15-16": 3.0,
        "17-18": 2.5,
        "college": 1.5,
        "pro": 1.0,
    }
)
#: Called pitches before anything is said, and inches that are worth saying (assumptions).
FEWEST: Final = 20
WORTH_SAYING_IN: Final = 0.5
#: Edges are handed to a plan in steps of this many inches: finer ones change no call.
STEP_IN: Final = 0.1
#: Places of less of a pitch's weight than this are left out.
_LEAST: Final = 2e-3
_NUDGE_IN: Final = 0.1
_ROUNDS: Final = 8
#: No edge is taken to lie farther off, and no call to be surer: umpires err (assumptions).
_FURTHEST_IN: Final = 5.0
_SURE: Final = 2e-3
_STILL_IN: Final = 1e-4
_FAMILY: Final = MappingProxyType(
    {kind: FAMILY_ORDER.index(family) for kind, family in TYPES.items()}
)


@dataclass(frozen=True, slots=True)
class TodaysZone:
    """What is believed of today's called zone.

    Attributes
    ----------
    mean : array (3,)
        Of `Edges`, inches.
    cov : array (3, 3)
    pitches : int
        Called pitches with a place behind it.
    """

    mean: Floats
    cov: Floats
    pitches: int = 0

    @property
    def edges(self) -> Edges:
        """The edges a plan is made with: the mean, in steps of `STEP_IN`."""
        return Edges(*(np.rint(self.mean / STEP_IN) * STEP_IN + 0.0).tolist())

    def says(self) -> str:
        """Return today's zone in one sentence with its spread, and what it rests on."""
        if self.pitches < FEWEST:
            return f"Zone tonight: from {FEWEST} called pitches on, {self.pitches} so far."
        found = [words for move in _MOVES if (words := self._said(move))]
        rests = f"rests on {self.pitches} pitches"
        if not found:
            most = max(self._of(move.by)[1] for move in _MOVES)
            return f"Strikes called as usual, within {_inches(2.0 * most)} in; {rests}."
        return f"Strikes called {', '.join(found)}; {rests}."

    def _of(self, by: Floats) -> tuple[float, float]:
        """Return mean and standard deviation of a combination of edges, inches."""
        return float(by @ self.mean), float(np.sqrt(by @ self.cov @ by))

    def _said(self, move: "_Move") -> str:
        """Say how an edge lies; "" when it may well lie as usual."""
        mean, sd = self._of(move.by)
        if abs(mean) < max(sd, WORTH_SAYING_IN):
            return ""
        word = move.out if mean > 0 else move.inward
        return f"{_inches(abs(mean))} in {word} (sd {_inches(sd)})"


class _Move(NamedTuple):
    """One thing to say: the combination of edges, its words outwards and inwards."""

    by: Floats
    out: str
    inward: str


_MOVES: Final = (
    _Move(np.array([1.0, 0.0, 0.0]), "wider", "narrower"),
    _Move(np.array([0.0, 1.0, 1.0]), "higher", "less high"),
    _Move(np.array([0.0, 1.0, -1.0]), "lower", "less low"),
)


def _inches(x: float) -> str:
    """Write inches to a half."""
    return f"{max(round(2.0 * x) / 2.0, 0.5):g}"


def usual(level: str) -> TodaysZone:
    """Return what is believed before the first pitch: the level's zone, as far as games differ."""
    spread = APART_IN * WIDER.get(level, max(WIDER.values()))
    return TodaysZone(np.zeros(3), np.diag(spread**2))


def learn(zone: TodaysZone, pitches: "pd.DataFrame", league: League) -> TodaysZone:
    """Return the zone after some more pitches, learnt one by one in about a millisecond each.

    Each is a Laplace step from what is believed to what is believed then. Swings, pitches without a
    place, and those not meant as pitches tell nothing.

    Parameters
    ----------
    zone : TodaysZone
    pitches : DataFrame
        Columns of the pitch log, in the order thrown; of either side's pitcher.
    league : League
        Of the level; its own edges are not looked at.
    """
    for pitch in called_pitches(pitches, league):
        zone = _learnt(zone, pitch, league)
    return zone


class Called(NamedTuple):
    """One called pitch: family, balls and strikes, how called, where it may have been: (n,)."""

    family: str
    before: tuple[int, int]
    strike: bool
    u: Floats
    v: Floats
    weight: Floats


def called_pitches(pitches: "pd.DataFrame", league: League) -> list[Called]:
    """Return the called pitches of a log that have a place."""
    bats = [side or "R" for side in words(pitches, "bats")]
    places = entries_of(pitches, levels.level(league.level).zone, bats)
    balls, strikes = numbers(pitches, "balls"), numbers(pitches, "strikes")
    families = coded(pitches, "pitch", _FAMILY, FAMILY_ORDER.index("unknown"))
    intents = words(pitches, "intent")
    found = []
    for i, result in enumerate(words(pitches, "result")):
        counted = 0 <= balls[i] <= 3 and 0 <= strikes[i] <= 2
        if not counted or intents[i] or result not in ("ball", "called strike"):
            continue
        family, count = FAMILY_ORDER[families[i]], (int(balls[i]), int(strikes[i]))
        where = _where(places, i, family, count, league)
        if where is not None:
            found.append(Called(family, count, result == "called strike", *where))
    return found


def _where(
    places: Entries, i: int, family: str, count: tuple[int, int], league: League
) -> tuple[Floats, Floats, Floats] | None:
    """Return where a taken pitch may have been and how likely; None where nothing is known."""
    if places.measured[i]:
        return places.u[i : i + 1], places.v[i : i + 1], np.ones(1)
    if places.take(np.array([i])).lost:
        return None
    across, up = entered(league.level, SEEN_ERROR_IN[SEEN_FROM[places.seen[i]]])
    here = taken(league, family)[:, :, count[0], count[1]]
    weight = across[places.column[i]][:, None] * up[places.row[i]] * here
    weight = weight / weight.sum()
    at, by = np.nonzero(weight > _LEAST)
    kept = weight[at, by]
    return GRID[at], GRID[by], kept / kept.sum()


def _learnt(zone: TodaysZone, pitch: Called, league: League) -> TodaysZone:
    """Return the zone after one called pitch: Newton steps to the mode, curvature there."""
    precision = _inverse(zone.cov)
    mean = zone.mean
    for _ in range(_ROUNDS):
        chance, slope = _chance(pitch, mean, league)
        gradient = slope * (pitch.strike - chance) / (chance * (1.0 - chance))
        curvature = precision + np.outer(slope, slope) / (chance * (1.0 - chance))
        move = np.linalg.solve(curvature, gradient - precision @ (mean - zone.mean))
        mean = mean + move
        if np.abs(move).max() < _STILL_IN:
            break
    return TodaysZone(mean, _inverse(curvature), zone.pitches + 1)


def _chance(pitch: Called, mean: Floats, league: League) -> tuple[float, Floats]:
    """Return the chance of a called strike, and how it moves with each edge, (3,)."""
    nudged = np.concatenate([np.zeros((1, 3)), np.eye(3), -np.eye(3)]) * _NUDGE_IN
    edges = np.clip((mean + nudged).T, -_FURTHEST_IN, _FURTHEST_IN)[:, :, None]
    log_odds = league.called(pitch.family, pitch.u, pitch.v, *pitch.before, edges)
    chances = np.clip(expit(log_odds) @ pitch.weight, _SURE, 1.0 - _SURE)
    slope = (chances[1:4] - chances[4:]) / (2.0 * _NUDGE_IN)
    return float(chances[0]), slope


def _inverse(matrix: Floats) -> Floats:
    return np.asarray(np.linalg.inv(matrix), dtype=np.float64)
