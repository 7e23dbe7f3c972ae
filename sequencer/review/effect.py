"""How much a habit gives away: extra right guesses per 100 pitches, with an interval."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from sequencer.review.coded import Coded
from sequencer.review.question import Question

Floats = NDArray[np.float64]

#: From this many games on whole games are drawn again; with fewer their spread is not known.
GAMES_FROM: Final = 8
#: Resampled logs behind an interval: its ends are good to about a tenth of its width.
RESAMPLES: Final = 1000


class Resampler:
    """Draws a log's games, or its at-bats when games are few, again with replacement.

    Attributes
    ----------
    unit : str
        "game" or "at-bat".
    """

    def __init__(self, log: Coded, rng: np.random.Generator) -> None:
        games = np.unique(log.game)
        self.unit = "game" if len(games) >= GAMES_FROM else "at-bat"
        column = log.game if self.unit == "game" else log.at_bat
        _, self._unit_of = np.unique(column, return_inverse=True)
        self._size = np.bincount(self._unit_of).astype(float)
        units = len(self._size)
        draws = rng.multinomial(units, np.full(units, 1 / units), size=RESAMPLES)
        self._weights = draws.astype(float)
        self._pitches = self._weights @ self._size

    def interval(self, rows: NDArray[np.int64], gains: Floats) -> tuple[float, float]:
        """Return the 95 % interval of the sum of `gains` per 100 pitches of the log.

        Parameters
        ----------
        rows : ndarray, shape (n,)
            Positions in the log of the pitches that gain.
        gains : ndarray, shape (n,)
        """
        by_unit = np.bincount(self._unit_of[rows], weights=gains, minlength=len(self._size))
        per_100 = 100 * (self._weights @ by_unit) / self._pitches
        low, high = np.quantile(per_100, (0.025, 0.975))
        return float(low), float(high)


def gains(question: Question, contrast: int) -> Floats:
    """Return what each pitch adds to a contrast: right guesses less those expected, (pitches,).

    A hitter looks for `what` whenever `where` holds; expected is how often he would be right if
    `where` told nothing (usual rates). The sum over pitches is count less mean.
    """
    weights = question.contrasts[contrast].weights
    expected = (question.usual.rates * weights[question.classes]).sum(axis=1)
    seen: Floats = weights[question.classes, question.labels]
    return np.asarray(seen - expected, dtype=float)
