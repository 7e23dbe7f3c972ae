"""How much games' called zones differ, and whether a game's own pitches help to tell the next.

Command: python -m tests.estimates.umpires_open. The fifteen games of one day, 2023: every called
pitch is told before it is learnt, by the league alone and by what its game has shown so far, the
spread among games found without that game. Beside the committed league, which knows these games,
one that is fitted without them is asked (`--without`; two minutes).
"""

import argparse
import sys
from typing import Final

import numpy as np
import pandas as pd

from sequencer.estimates import league as leagues
from sequencer.estimates import todays_zone
from sequencer.estimates.arrays import Bools, Floats, expit
from sequencer.estimates.league import League
from sequencer.estimates.todays_zone import TodaysZone
from tests import open_data

DAY: Final = "day_2023"
#: Rounds of expectation and maximisation: by then no spread moves by a hundredth of an inch.
ROUNDS: Final = 12


def called(source: str = DAY) -> pd.DataFrame:
    """Return the called pitches of a source, in the order thrown."""
    frame = open_data.read()
    own = (frame["source"] == source) & frame["result"].isin(["ball", "called strike"])
    return frame[own].assign(intent="").reset_index(drop=True)


def spread(games: list[pd.DataFrame], league: League, rounds: int = ROUNDS) -> Floats:
    """Return the spread of each edge among games, inches, by expectation and maximisation."""
    found = np.array([0.5, 0.5, 0.5])
    for _ in range(rounds):
        start = TodaysZone(np.zeros(3), np.diag(found**2))
        ends = [todays_zone.learn(start, game, league) for game in games]
        found = np.sqrt(np.mean([end.mean**2 + np.diag(end.cov) for end in ends], axis=0))
    return found


def told(game: pd.DataFrame, start: TodaysZone, league: League) -> tuple[Floats, Floats, Bools]:
    """Return chances by the league, by what the game showed before, and what was called."""
    zone, usual, learnt = start, [], []
    for i in range(len(game)):
        one = game.iloc[i : i + 1]
        usual.append(_chance(one, start, league))
        learnt.append(_chance(one, zone, league))
        zone = todays_zone.learn(zone, one, league)
    return np.array(usual), np.array(learnt), (game["result"] == "called strike").to_numpy()


def _chance(one: pd.DataFrame, zone: TodaysZone, league: League) -> float:
    """Return the chance of a called strike at the zone that a plan would be made with."""
    (pitch,) = todays_zone.called_pitches(one, league)
    log_odds = league.called(pitch.family, pitch.u, pitch.v, *pitch.before, zone.edges)
    return float(expit(log_odds) @ pitch.weight)


def loss(chance: Floats, strike: Bools) -> Floats:
    """Return nats of each pitch."""
    p = np.clip(np.where(strike, chance, 1.0 - chance), 1e-9, 1.0)
    return np.asarray(-np.log(p))


def held_out(games: list[pd.DataFrame], league: League) -> tuple[float, float, float, Floats]:
    """Return mean nats by the league, by the game so far, the gain's error, spreads by game."""
    before, after, spreads = [], [], []
    for i, game in enumerate(games):
        own = spread(games[:i] + games[i + 1 :], league)
        start = TodaysZone(np.zeros(3), np.diag(own**2))
        usual, learnt, strike = told(game, start, league)
        before.append(loss(usual, strike))
        after.append(loss(learnt, strike))
        spreads.append(own)
    gains = [float((b - a).sum()) for b, a in zip(before, after, strict=True)]
    n = sum(map(len, before))
    error = float(np.std(gains, ddof=1) * np.sqrt(len(gains)) / n)
    return (
        float(np.concatenate(before).mean()),
        float(np.concatenate(after).mean()),
        error,
        np.array(spreads),
    )


def main() -> None:
    """Print spreads among games and held-out losses."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--without", action="store_true", help="fit a league without these games")
    asked = parser.parse_args()
    pitches = called()
    games = [game for _, game in pitches.groupby("game", sort=True)]
    known = {"committed league": leagues.load("pro")}
    if asked.without:
        known["league without these games"] = _without()
    for name, league in known.items():
        usual, learnt, error, _ = held_out(games, league)
        wide, tall, up = spread(games, league)
        sys.stdout.write(
            f"{name}: games differ by {wide:.2f} in wide, {tall:.2f} tall, {up:.2f} up; "
            f"{usual:.4f} nats a call, {learnt:.4f} with the game's own (gain's se {error:.4f})\n"
        )


def _without() -> League:
    from tests.estimates.held_out import fitted

    frame = open_data.read()
    return fitted(frame[frame["source"] != DAY].reset_index(drop=True))


if __name__ == "__main__":
    main()
