"""Pitch logs drawn from a league and a hitter, for tests that must find what was put in."""

from typing import Any

import numpy as np
import pandas as pd

from sequencer.baseball import levels, zone
from sequencer.baseball.pitches import FAMILIES
from sequencer.estimates import league as leagues
from sequencer.estimates.arrays import Bools, Floats, Ints, expit
from sequencer.estimates.traits import INDEX, TRAITS

TYPE = {"fast": "fastball", "breaking": "curveball", "off-speed": "changeup"}


def traits(**moved: float) -> Floats:
    """Return a trait vector with these traits."""
    out = np.zeros(len(TRAITS))
    for name, value in moved.items():
        out[INDEX[name]] = value
    return out


def pitches(
    n: int,
    *,
    level: str = "pro",
    hitter: Floats | None = None,
    take_share: Floats | None = None,
    bats: str = "R",
    seed: int = 0,
    league: leagues.League | None = None,
) -> pd.DataFrame:
    """Return `n` pitches to one hitter in counts drawn at random, results by the league's steps.

    The league is the level's when not given.
    """
    rng = np.random.default_rng(seed)
    balls, strikes = rng.integers(0, 4, n), rng.integers(0, 3, n)
    return _thrown(rng, league or leagues.load(level), balls, strikes, hitter, take_share, bats)


def season(at_bats: int, *, level: str = "pro", seed: int = 0) -> pd.DataFrame:
    """Return whole at-bats, every count following from the result before."""
    rng = np.random.default_rng(seed)
    alive = np.arange(at_bats)
    balls, strikes = np.zeros(at_bats, dtype=np.intp), np.zeros(at_bats, dtype=np.intp)
    rounds: list[pd.DataFrame] = []
    while alive.size:
        thrown = _thrown(rng, leagues.load(level), balls, strikes, None, None, "R")
        rounds.append(thrown.assign(at_bat=alive + 1, pitch_no=len(rounds) + 1))
        result = thrown["result"].to_numpy()
        strike = np.isin(result, ["called strike", "swinging strike"])
        strike |= (result == "foul") & (strikes < 2)
        balls, strikes = balls + (result == "ball"), strikes + strike
        over = np.isin(result, ["in play", "hit by pitch"]) | (balls > 3) | (strikes > 2)
        alive, balls, strikes = alive[~over], balls[~over], strikes[~over]
    return pd.concat(rounds).sort_values(["at_bat", "pitch_no"]).reset_index(drop=True)


def _thrown(
    rng: np.random.Generator,
    league: leagues.League,
    balls: Ints,
    strikes: Ints,
    hitter: Floats | None,
    take_share: Floats | None,
    bats: str,
) -> pd.DataFrame:
    at, n = levels.level(league.level).zone, len(balls)
    family = _drawn(rng, league.pitch_share[:, balls, strikes].T)
    frame = pd.DataFrame(
        {
            "game": "g1",
            "at_bat": np.arange(n) + 1,
            "pitch_no": 1,
            "balls": balls,
            "strikes": strikes,
            "pitch": np.array([TYPE[name] for name in FAMILIES], dtype=object)[family],
            "bats": bats,
            "throws": "R",
            "pitcher": "Ames",
            "hitter": "Boyd",
            "level": league.level,
        }
    )
    u, v = _places(rng, league, family, balls, strikes)
    frame["side_in"] = zone.away_sign(bats) * u * zone.HALF_WIDTH_IN
    # In the league's places 1.0 is where the ball's centre is when it touches the zone.
    height = at.middle_in + v * at.centre_half_height_in
    # What is lower or higher is off the map of a log.
    frame["height_in"] = np.clip(height, -24.0, 120.0)
    result, play = np.full(n, "", dtype=object), np.full(n, "", dtype=object)
    for i, name in enumerate(FAMILIES):
        own = np.flatnonzero(family == i)
        steps = league.steps(
            name, u[own], v[own], balls[own], strikes[own], 1.0, hitter, take_share=take_share
        )
        result[own], play[own] = _results(rng, league, steps)
    return frame.assign(result=result, play=play)


def _drawn(rng: np.random.Generator, shares: Floats) -> Ints:
    """Return one column drawn in each row."""
    below = rng.random((len(shares), 1)) < np.cumsum(shares, axis=1)
    return np.asarray(np.argmax(below, axis=1), dtype=np.intp)


def _places(
    rng: np.random.Generator, league: leagues.League, family: Ints, balls: Ints, strikes: Ints
) -> tuple[Floats, Floats]:
    mix = league.mix
    part = _drawn(rng, mix.weights[family, balls, strikes])
    roots = np.linalg.cholesky(mix.covs)[family, part]
    noise = rng.normal(size=(len(family), 2))
    place = mix.means[family, part] + np.einsum("nij,nj->ni", roots, noise)
    return place[:, 0], place[:, 1]


def _results(
    rng: np.random.Generator, league: leagues.League, steps: leagues.Steps
) -> tuple["np.ndarray[Any, Any]", "np.ndarray[Any, Any]"]:
    n = len(steps.swing)

    def happens(probability: Floats) -> Bools:
        return rng.random(n) < probability

    swung, missed, fouled = (happens(expit(x)) for x in (steps.swing, steps.miss, steps.foul))
    hit, called = happens(steps.hit_by_pitch), happens(expit(steps.called))
    swing = np.where(missed, "swinging strike", np.where(fouled, "foul", "in play"))
    take = np.where(hit, "hit by pitch", np.where(called, "called strike", "ball"))
    result = np.where(swung, swing, take)
    kinds = np.array(leagues.PLAYS)[_drawn(rng, league.plays(steps.in_play))]
    kinds = np.where(np.char.endswith(kinds, "out"), "out", kinds)
    return result, np.where(result == "in play", kinds, "")
