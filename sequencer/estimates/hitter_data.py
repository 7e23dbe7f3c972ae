"""What a hitter did with the pitches he saw, as the likelihood of his traits."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from sequencer.baseball import levels
from sequencer.baseball.pitches import FAMILIES, SWINGS, TYPES
from sequencer.estimates.arrays import Bools, Floats, Ints, expit, logit
from sequencer.estimates.coefficients import PLAYS
from sequencer.estimates.league import League
from sequencer.estimates.places import crossed, relative, words, zone_of_rows
from sequencer.estimates.traits import INDEX, TRAITS, loadings

if TYPE_CHECKING:
    import pandas as pd

#: Runs of a ball in play by how it was hit, about its place's own value, and the spread of one
#: (assumptions); a play alone is worth its runs with a spread of .47 (measured on open data).
CONTACT_RUNS: Final = {"weak": -0.20, "fair": 0.0, "square": 0.25}
CONTACT_NOISE: Final = 0.32
PLAY_NOISE: Final = 0.47
#: Log odds that a mistimed swing is late, and that a ball not hit to the middle is pulled, for the
#: league; and what one unit of the trait adds, about one for a prior spread (assumptions).
LATE: Final = {"fast": 0.6, "breaking": -1.0, "off-speed": -1.0, "unknown": -0.2}
LATE_PER_TRAIT: Final = 4.0
PULLED: Final = 0.5
PULLED_PER_TRAIT: Final = 3.3


@dataclass(frozen=True, slots=True)
class Choice:
    """Rows of one yes-or-no step: outcome, the league's log odds, what each trait adds."""

    outcome: Floats
    base: Floats
    load: Floats

    def scores(self, mean: Floats) -> tuple[Floats, Floats]:
        """Return the gradient of the log likelihood and the expected information."""
        p = expit(self.base + self.load @ mean)
        weight = p * (1.0 - p)
        return self.load.T @ (self.outcome - p), (self.load * weight[:, None]).T @ self.load


@dataclass(frozen=True, slots=True)
class Swings:
    """Rows of the swing: a habit of taking comes before being ready to swing."""

    swung: Floats
    ready: Floats
    load: Floats
    balls: Ints
    strikes: Ints

    def scores(self, mean: Floats, take: Floats) -> tuple[Floats, Floats]:
        """Return gradient and information; `take` (4, 3) is the league's habit."""
        habit = np.zeros((len(self.swung), len(TRAITS)))
        habit[:, INDEX["aggressive"]] = -1.0
        habit[(self.balls == 0) & (self.strikes == 0), INDEX["first_pitch"]] = -1.0
        usual = take[self.balls, self.strikes]
        t = np.where(usual > 0.0, expit(logit(usual) + habit @ mean), 0.0)
        s = expit(self.ready + self.load @ mean)
        p = np.clip((1.0 - t) * s, 1e-9, 1.0 - 1e-9)
        slope = ((1.0 - t) * s * (1.0 - s))[:, None] * self.load
        slope -= (t * (1.0 - t) * s)[:, None] * habit
        weight = 1.0 / (p * (1.0 - p))
        return slope.T @ ((self.swung - p) * weight), (slope * weight[:, None]).T @ slope


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
        return scaled.T @ (self.runs - self.base - self.load @ mean), scaled.T @ self.load


@dataclass(frozen=True, slots=True)
class Seen:
    """Everything the pitches say; `n` pitches were usable."""

    swings: Swings
    choices: tuple[Choice, ...]
    struck: Struck
    n: int
    notes: tuple[str, ...] = ()

    def scores(self, mean: Floats, take: Floats) -> tuple[Floats, Floats]:
        """Return gradient and information of all of it at a trait vector."""
        gradient, information = self.swings.scores(mean, take)
        parts: tuple[Choice | Struck, ...] = (*self.choices, self.struck)
        for part in parts:
            more, known = part.scores(mean)
            gradient, information = gradient + more, information + known
        return gradient, information


@dataclass(frozen=True, slots=True)
class _Table:
    """Columns of the usable pitches, and the league's steps there."""

    family: Ints
    result: "np.ndarray[tuple[int], np.dtype[np.str_]]"
    balls: Ints
    strikes: Ints
    base: dict[str, Floats]
    load: dict[str, Floats]


def seen(frame: "pd.DataFrame", bats: str, league: League) -> Seen:
    """Return what a log says of a hitter from one side.

    Pitch-outs, intentional balls, bunts, pitches from his other side and pitches without a place
    are left out, and said so.
    """
    edges = zone_of_rows(frame, levels.level(league.level).zone)
    sides = [side or bats for side in words(frame, "bats")]
    places = relative(crossed(frame, levels.level(league.level).zone).inches, edges, sides)
    meant = _meant(frame, sides, bats)
    located = np.isfinite(places).all(axis=1)
    kept = np.flatnonzero(meant & located)
    lost = int((meant & ~located).sum())
    notes = (f"{lost} pitches without a place could not be used.",) if lost else ()
    own = frame.iloc[kept]
    table = _table(own, places[kept], bats, league)
    choices = (*_at_the_plate(table), *_timed(own, table), _directed(own, table))
    return Seen(_swings(table), choices, _struck(own, table, league), len(kept), notes)


def _meant(frame: "pd.DataFrame", sides: list[str], bats: str) -> Bools:
    intent = np.array([word == "" for word in words(frame, "intent")], dtype=np.bool_)
    own = np.array([side == bats for side in sides], dtype=np.bool_)
    counted = (frame["balls"].between(0, 3) & frame["strikes"].between(0, 2)).to_numpy(np.bool_)
    meant = intent & own & counted
    if "bunt" in frame:
        meant &= ~frame["bunt"].astype("boolean").fillna(False).to_numpy(np.bool_)
    return meant


def _table(frame: "pd.DataFrame", places: Floats, bats: str, league: League) -> _Table:
    kinds = [TYPES.get(pitch, "unknown") for pitch in words(frame, "pitch")]
    order = (*FAMILIES, "unknown")
    family = np.array([order.index(kind) for kind in kinds], dtype=np.intp)
    balls, strikes = frame["balls"].to_numpy(np.intp), frame["strikes"].to_numpy(np.intp)
    hands = words(frame, "throws")
    same = np.array([0.5 if not hand else float(hand == bats) for hand in hands])
    names = ("swing", "miss", "foul", "in_play", "hit_by_pitch")
    base = {name: np.zeros(len(frame)) for name in names}
    load = {name: np.zeros((len(frame), len(TRAITS))) for name in names}
    for i, kind in enumerate(order):
        rows = np.flatnonzero(family == i)
        if not rows.size:
            continue
        u, v = places[rows].T
        steps = league.steps(kind, u, v, balls[rows], strikes[rows], same[rows])
        base["swing"][rows] = steps.swing_ready
        base["hit_by_pitch"][rows] = logit(steps.hit_by_pitch)
        for name in ("miss", "foul", "in_play"):
            base[name][rows] = getattr(steps, name)
        for name, value in loadings(kind, u, v, (strikes[rows] == 2).astype(float)).items():
            load[name][rows] = value
    result = np.array(words(frame, "result"), dtype=np.str_)
    return _Table(family, result, balls, strikes, base, load)


def _swings(table: _Table) -> Swings:
    swung = np.isin(table.result, list(SWINGS))
    rows = swung | np.isin(table.result, ["ball", "called strike", "hit by pitch"])
    return Swings(
        swung[rows].astype(float),
        table.base["swing"][rows],
        table.load["swing"][rows],
        table.balls[rows],
        table.strikes[rows],
    )


def _choice(table: _Table, step: str, rows: Bools, yes: Bools) -> Choice:
    return Choice(yes[rows].astype(float), table.base[step][rows], table.load[step][rows])


def _at_the_plate(table: _Table) -> tuple[Choice, ...]:
    result = table.result
    missed, fouled = np.isin(result, ["swinging strike", "foul tip"]), result == "foul"
    put, hit = result == "in play", result == "hit by pitch"
    taken = np.isin(result, ["ball", "called strike"]) | hit
    return (
        _choice(table, "miss", missed | fouled | put, missed),
        _choice(table, "foul", fouled | put, fouled),
        _choice(table, "hit_by_pitch", taken, hit),
    )


def _timed(frame: "pd.DataFrame", table: _Table) -> tuple[Choice, ...]:
    timing = np.array(words(frame, "timing"), dtype=np.str_)
    rows = np.isin(timing, ["late", "early"])
    order = (*FAMILIES, "unknown")
    base = np.array([LATE[order[i]] for i in table.family[rows]])
    return (_of_one_trait(timing[rows] == "late", base, "timing_late", LATE_PER_TRAIT),)


def _directed(frame: "pd.DataFrame", table: _Table) -> Choice:
    spray = np.array(words(frame, "spray"), dtype=np.str_)
    rows = np.isin(spray, ["pull", "opposite"]) & (table.result == "in play")
    base = np.full(int(rows.sum()), PULLED)
    return _of_one_trait(spray[rows] == "pull", base, "pull", PULLED_PER_TRAIT)


def _of_one_trait(yes: Bools, base: Floats, trait: str, size: float) -> Choice:
    load = np.zeros((len(base), len(TRAITS)))
    load[:, INDEX[trait]] = size
    return Choice(yes.astype(float), base, load)


def _struck(frame: "pd.DataFrame", table: _Table, league: League) -> Struck:
    """Return balls in play by how they were hit, else by what became of them."""
    contact, play = words(frame, "contact"), words(frame, "play")
    base = table.base["in_play"]
    worth = dict(zip(PLAYS, league.play_runs.tolist(), strict=True))
    out = float(league.play_share[:2] @ league.play_runs[:2] / league.play_share[:2].sum())
    runs, noise = np.full(len(base), np.nan), np.full(len(base), PLAY_NOISE)
    for i in np.flatnonzero(table.result == "in play"):
        if contact[i] in CONTACT_RUNS:
            runs[i], noise[i] = base[i] + CONTACT_RUNS[contact[i]], CONTACT_NOISE
        elif play[i]:
            runs[i] = worth.get(play[i], out)
    rows = np.isfinite(runs)
    return Struck(runs[rows], base[rows], table.load["in_play"][rows], noise[rows])
