"""What a simulation comes to: runs of every mind against every way of pitching, with intervals."""

from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from sequencer.planning.arrays import Floats

#: Share of games that an interval leaves out.
_OUTSIDE: Final = 0.05


@dataclass(frozen=True, eq=False)
class Simulation:
    """What every mind makes of every way of pitching; runs are per plate appearance.

    Attributes
    ----------
    pitcher, level : str
    trust : float
    hitters : tuple of str
    ways, minds : tuples of str
    drawn : array (games, ways, minds, 2 * hitters)
        Against hitters drawn from what is believed of them, anew in each game, and then against
        their mirror images.
    believed : array (games, ways, minds, hitters)
        Against hitters just as they are believed to be: only what was charted changes by game.
    guarantee : array (hitters,)
        What the plan says it guarantees.
    past_pitches : int
        Pitches behind his own past mix.
    watched, seed : int
    """

    pitcher: str
    level: str
    trust: float
    hitters: tuple[str, ...]
    ways: tuple[str, ...]
    minds: tuple[str, ...]
    drawn: Floats
    believed: Floats
    guarantee: Floats
    past_pitches: int
    watched: int
    seed: int

    @property
    def games(self) -> int:
        """How many games were played."""
        return len(self.drawn)

    @property
    def runs(self) -> tuple[Floats, Floats]:
        """(ways, minds): runs per 100 plate appearances of drawn hitters, and half intervals."""
        return _mean(self.drawn.mean(axis=-1))

    @property
    def over_plan(self) -> tuple[Floats, Floats]:
        """(ways, minds): the same over the plan's, game by game."""
        by_game = self.drawn.mean(axis=-1)
        return _mean(by_game - by_game[:, :1])

    @property
    def against_believed(self) -> tuple[Floats, Floats]:
        """(ways, minds): runs per 100 of hitters just as believed, and half intervals."""
        return _mean(self.believed.mean(axis=-1))

    @property
    def worst(self) -> tuple[int, ...]:
        """The mind that makes most of each way."""
        return tuple(int(mind) for mind in self.runs[0].argmax(axis=1))

    @property
    def between_hitters(self) -> tuple[float, float]:
        """What 5 and 95 in 100 drawn hitters make of the plan at their best, runs per 100."""
        low, high = np.quantile(100.0 * self.drawn[:, 0, 0], (0.05, 0.95))
        return float(low), float(high)

    def as_json(self) -> dict[str, Any]:
        """Return it as JSON values; runs per 100 plate appearances."""
        return {
            "pitcher": self.pitcher,
            "level": self.level,
            "trust": self.trust,
            "games": self.games,
            "watched": self.watched,
            "seed": self.seed,
            "past_pitches": self.past_pitches,
            "guarantee": {
                name: 100.0 * float(runs)
                for name, runs in zip(self.hitters, self.guarantee, strict=True)
            },
            "between_hitters": list(self.between_hitters),
            "ways": [self._way(w) for w in range(len(self.ways))],
        }

    def _way(self, w: int) -> dict[str, Any]:
        runs, over, believed = self.runs, self.over_plan, self.against_believed
        minds = [
            {
                "mind": mind,
                **_told("runs_per_100", "interval", runs, w, m),
                **_told("over_plan", "over_plan_interval", over, w, m),
                **_told("as_believed", "as_believed_interval", believed, w, m),
            }
            for m, mind in enumerate(self.minds)
        ]
        return {"way": self.ways[w], "worst": self.minds[self.worst[w]], "minds": minds}


def _told(
    name: str, interval: str, found: tuple[Floats, Floats], way: int, mind: int
) -> dict[str, Any]:
    mean, half = (float(array[way, mind]) for array in found)
    return {name: mean, interval: [mean - half, mean + half]}


def _mean(by_game: Floats) -> tuple[Floats, Floats]:
    """Return means per 100 over games, and half of their 95 % intervals (Student's t)."""
    from scipy.stats import t

    games = len(by_game)
    mean: Floats = 100.0 * by_game.mean(axis=0)
    if games < 2:
        return mean, np.full(mean.shape, np.nan)
    error = 100.0 * by_game.std(axis=0, ddof=1) / np.sqrt(games)
    return mean, float(t.ppf(1.0 - _OUTSIDE / 2.0, games - 1)) * error
