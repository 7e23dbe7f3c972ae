"""What a hitter did with the pitches he saw, as the likelihood of his traits."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Final

import numpy as np

from sequencer.estimates.arrays import Bools, Floats, Ints, expit, logit
from sequencer.estimates.coefficients import PLAYS
from sequencer.estimates.contact import measured_runs
from sequencer.estimates.hitter_rows import (
    FAMILY_ORDER,
    FOULED,
    HIT,
    LEFT,
    MISSED,
    PUT,
    SWUNG,
    TOOK,
    HitterRows,
    coded,
    column,
    rows_of,
)
from sequencer.estimates.league import League
from sequencer.estimates.traits import INDEX, STEPS, TRAIT_TABLE, TRAITS

if TYPE_CHECKING:
    import pandas as pd

#: Runs of a ball in play by how it was hit, about its place's own value (assumptions), and the
#: spread of one so told; a play alone is worth its runs with a wider one (both measured on open
#: data: expected values .32, outcomes .47).
CONTACT_RUNS: Final = {"weak": -0.20, "fair": 0.0, "square": 0.25}
CONTACT_NOISE: Final = 0.32
PLAY_NOISE: Final = 0.47
#: Log odds that a mistimed swing is late, and that a ball not hit to the middle is pulled, for the
#: league; one assumed spread of the trait adds one (assumptions).
LATE: Final = {"fast": 0.6, "breaking": -1.0, "off-speed": -1.0, "unknown": -0.2}
LATE_PER_TRAIT: Final = 1.0 / TRAIT_TABLE[INDEX["timing_late"]].assumed
PULLED: Final = 0.5
PULLED_PER_TRAIT: Final = 1.0 / TRAIT_TABLE[INDEX["pull"]].assumed
#: Share of pitches that a league's hitter bunts at (counted: 990 seasons of hitters, Retrosheet
#: 2016, 2019, 2020; obtained free of charge from and copyrighted by Retrosheet, retrosheet.org).
BUNTED: Final = 0.0023


@dataclass(frozen=True, slots=True)
class Choice:
    """Rows of a yes-or-no step: outcome, the league's log odds, what each trait adds.

    A row may stand for many alike: `times` so many, with the share of yeses for an outcome.
    """

    name: str
    outcome: Floats
    base: Floats
    load: Floats
    times: Floats | None = None

    def scores(self, mean: Floats) -> tuple[Floats, Floats]:
        """Return the gradient of the log likelihood and the expected information."""
        p = expit(self.base + self.load @ mean)
        times = 1.0 if self.times is None else self.times
        weight = times * p * (1.0 - p)
        return (times * (self.outcome - p)) @ self.load, (self.load * weight[:, None]).T @ self.load

    def chance(self, mean: Floats, take: Floats | None = None) -> Floats:
        """Return the chance of a yes in each row; the habit of taking has no part in it."""
        return expit(self.base + self.load @ mean)

    def slope(self, mean: Floats, take: Floats | None = None) -> Floats:
        """Return how the chance moves with each trait, (n, traits)."""
        p = self.chance(mean)
        return np.asarray((p * (1.0 - p))[:, None] * self.load)


@dataclass(frozen=True, slots=True)
class Swings:
    """Rows of the swing: a habit of taking comes before being ready to swing."""

    outcome: Floats
    base: Floats
    load: Floats
    balls: Ints
    strikes: Ints
    name: str = "swing"

    def scores(self, mean: Floats, take: Floats) -> tuple[Floats, Floats]:
        """Return gradient and information; `take` (4, 3) is the league's habit."""
        t, s = self._parts(mean, take)
        p = np.clip((1.0 - t) * s, 1e-9, 1.0 - 1e-9)
        slope, weight = self._slope(t, s), 1.0 / (p * (1.0 - p))
        return ((self.outcome - p) * weight) @ slope, (slope * weight[:, None]).T @ slope

    def slope(self, mean: Floats, take: Floats) -> Floats:
        """Return how the chance moves with each trait, (n, traits)."""
        return self._slope(*self._parts(mean, take))

    def _slope(self, t: Floats, s: Floats) -> Floats:
        slope = ((1.0 - t) * s * (1.0 - s))[:, None] * self.load
        more = t * (1.0 - t) * s
        slope[:, INDEX["aggressive"]] += more
        slope[:, INDEX["first_pitch"]] += more * self.first
        return np.asarray(slope)

    def chance(self, mean: Floats, take: Floats) -> Floats:
        """Return the chance of a swing in each row."""
        t, s = self._parts(mean, take)
        return np.asarray((1.0 - t) * s)

    @property
    def first(self) -> Bools:
        """Which are first pitches."""
        return np.asarray((self.balls == 0) & (self.strikes == 0))

    def _parts(self, mean: Floats, take: Floats) -> tuple[Floats, Floats]:
        """Return how often each pitch is taken whatever comes, and swung at when he is ready."""
        s = expit(self.base + self.load @ mean)
        return habit(mean, take)[self.balls, self.strikes], s


def habit(mean: Floats, take: Floats) -> Floats:
    """Return how often he takes by count, (4, 3): the league's habit moved by his traits."""
    moved = np.full((4, 3), -mean[INDEX["aggressive"]])
    moved[0, 0] -= mean[INDEX["first_pitch"]]
    return np.where(take > 0.0, expit(logit(take) + moved), 0.0)


@dataclass(frozen=True, slots=True)
class Struck:
    """Balls in play: runs, the league's runs there, what each trait adds, spread of one."""

    runs: Floats
    base: Floats
    load: Floats
    noise: Floats

    def scores(self, mean: Floats) -> tuple[Floats, Floats]:
        """Return gradient and information."""
        scaled = self.load / self.noise[:, None] ** 2
        return (self.runs - self.base - self.load @ mean) @ scaled, scaled.T @ self.load


@dataclass(frozen=True)
class Seen:
    """Everything the pitches say; `n` pitches were usable."""

    swings: Swings
    choices: tuple[Choice, ...]
    struck: Struck
    n: int
    notes: tuple[str, ...] = ()

    @cached_property
    def _choices(self) -> Choice:
        """Every choice as one: sums over rows do not mind whose they are."""
        return joined(self.choices)

    def scores(self, mean: Floats, take: Floats) -> tuple[Floats, Floats]:
        """Return gradient and information of all of it at a trait vector."""
        gradient, information = self.swings.scores(mean, take)
        for part in (self._choices, self.struck):
            more, known = part.scores(mean)
            gradient, information = gradient + more, information + known
        return gradient, information

    def part(self, name: str) -> Choice | Swings:
        """Return the rows of one step or of what else was seen: late, pulled, bunt."""
        parts: tuple[Choice | Swings, ...] = (self.swings, *self.choices)
        return next(part for part in parts if part.name == name)

    def moved(self, by: dict[str, float]) -> "Seen":
        """Return the same with the league's log odds of some steps moved."""
        swings = replace(self.swings, base=self.swings.base + by.get("swing", 0.0))
        choices = [replace(c, base=c.base + by.get(c.name, 0.0)) for c in self.choices]
        return replace(self, swings=swings, choices=tuple(choices))


def joined(choices: Sequence[Choice]) -> Choice:
    """Return several choices as one."""
    return Choice(
        "all",
        np.concatenate([one.outcome for one in choices]),
        np.concatenate([one.base for one in choices]),
        np.concatenate([one.load for one in choices]),
        np.concatenate(
            [np.ones(len(one.base)) if one.times is None else one.times for one in choices]
        ),
    )


def seen(frame: "pd.DataFrame", bats: str, league: League) -> Seen:
    """Return what a log says of a hitter from one side.

    Pitch-outs, intentional balls and pitches from his other side are left out; bunts tell only
    that he bunts. Pitches of unsure place are averaged over where they may have crossed.
    """
    rows = rows_of(frame, bats, league)
    choices = (*_at_the_plate(rows), _timed(frame, rows), _directed(frame, rows), _bunted(rows))
    return Seen(_swings(rows), choices, _struck(frame, rows, league), len(rows.at), rows.notes)


def _swings(rows: HitterRows) -> Swings:
    swung = _any(rows.did, MISSED, FOULED, PUT, SWUNG)
    use = np.flatnonzero(swung | _any(rows.did, TOOK, HIT, LEFT))
    step = STEPS.index("swing")
    return Swings(
        swung[use].astype(float),
        rows.base[use, step],
        rows.load[use, step],
        rows.balls[use],
        rows.strikes[use],
    )


def _any(did: Ints, *kinds: int) -> Bools:
    found = did == kinds[0]
    for kind in kinds[1:]:
        found = found | (did == kind)
    return np.asarray(found)


def _choice(rows: HitterRows, step: str, which: Bools, yes: int) -> Choice:
    use, k = np.flatnonzero(which), STEPS.index(step)
    outcome = (rows.did[use] == yes).astype(float)
    return Choice(step, outcome, rows.base[use, k], rows.load[use, k])


def _at_the_plate(rows: HitterRows) -> tuple[Choice, ...]:
    did = rows.did
    return (
        _choice(rows, "miss", _any(did, MISSED, FOULED, PUT), MISSED),
        _choice(rows, "foul", _any(did, FOULED, PUT), FOULED),
        _choice(rows, "hit_by_pitch", _any(did, TOOK, HIT), HIT),
    )


def _timed(frame: "pd.DataFrame", rows: HitterRows) -> Choice:
    timing = coded(frame, "timing", {"late": 1, "early": 0}, -1)[rows.at]
    use = np.flatnonzero(timing >= 0)
    base = np.array([LATE[kind] for kind in FAMILY_ORDER])[rows.family[use]]
    return _of_one_trait("late", timing[use], base, "timing_late", LATE_PER_TRAIT)


def _directed(frame: "pd.DataFrame", rows: HitterRows) -> Choice:
    spray = coded(frame, "spray", {"pull": 1, "opposite": 0}, -1)[rows.at]
    use = np.flatnonzero((spray >= 0) & (rows.did == PUT))
    base = np.full(len(use), PULLED)
    return _of_one_trait("pulled", spray[use], base, "pull", PULLED_PER_TRAIT)


def _bunted(rows: HitterRows) -> Choice:
    some = np.full(min(rows.offered, 1), float(rows.offered))
    base = np.full(len(some), float(logit(BUNTED)))
    found = _of_one_trait("bunt", rows.bunts / np.maximum(some, 1.0), base, "bunt", 1.0)
    return replace(found, times=some)


def _of_one_trait(name: str, yes: Ints | Floats, base: Floats, trait: str, size: float) -> Choice:
    load = np.zeros((len(base), len(TRAITS)))
    load[:, INDEX[trait]] = size
    return Choice(name, yes.astype(float), base, load)


def _struck(frame: "pd.DataFrame", rows: HitterRows, league: League) -> Struck:
    """Return balls in play by how they were hit, else by what became of them."""
    put, step = np.flatnonzero(rows.did == PUT), STEPS.index("in_play")
    base, at = rows.base[put, step], rows.at[put]
    worth = dict(zip(PLAYS, league.play_runs.tolist(), strict=True))
    out = float(league.play_share[:2] @ league.play_runs[:2] / league.play_share[:2].sum())
    plays, contact = column(frame, "play"), column(frame, "contact")
    runs = np.array([worth.get(plays[i], out) if _said(plays[i]) else np.nan for i in at])
    quality = np.array([CONTACT_RUNS.get(contact[i], np.nan) for i in at]) + base
    measured = measured_runs(frame)[at]
    noise = np.full(len(put), PLAY_NOISE)
    for better in (quality, measured):
        told = np.isfinite(better)
        runs, noise = np.where(told, better, runs), np.where(told, CONTACT_NOISE, noise)
    use = np.isfinite(runs)
    return Struck(runs[use], base[use], rows.load[put[use], step], noise[use])


def _said(word: object) -> bool:
    return isinstance(word, str) and word != ""
