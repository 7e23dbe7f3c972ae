"""A pitch log scored: every step of a league, and how well each pitcher's next pitch is named."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from sequencer.errors import BadInput
from sequencer.estimates import rivals, scoring, steps, unsure
from sequencer.estimates.arrays import Bools, Floats, Ints
from sequencer.estimates.coefficients import STEPS
from sequencer.estimates.fit_data import Data, data_of
from sequencer.estimates.league import League
from sequencer.estimates.next_pitch import Outsider
from sequencer.estimates.read_skill import Read, read_next
from sequencer.estimates.scoring import Bin, Line

if TYPE_CHECKING:
    import pandas as pd

#: Parts that a log's games are put in when trees are grown on the others.
FOLDS: Final = 4
#: Pitches below which a step is not scored.
FEWEST: Final = 20
#: Steps that follow from a swing, a take or a contact, as the sentence for a log without them says.
_LACKS: Final = {
    "called": "no takes with a result",
    "swing": "no pitches known as a swing or a take",
    "miss": "no swings with a result",
    "foul": "no contact with a result",
    "in_play": "no ball in play whose value is known",
    "hit_by_pitch": "no takes",
}


@dataclass(frozen=True, slots=True)
class StepScore:
    """One step on a log.

    Attributes
    ----------
    step : str
    pitches : int
        Pitches that the step is about.
    happened : float or None
        Share of them on which it happened; mean runs for `in_play`.
    loss, interval : float or None, pair or None
        Mean nats (squared runs for `in_play`), and its 95 % interval with games drawn anew.
    base, trees : float or None
        The same loss for one number said of all, and for boosted trees.
    line : Line or None
        Calibration; see `scoring.calibration`.
    bins : tuple of Bin
        Reliability.
    off : tuple or None
        How much more happened than was said, and its standard error.
    cannot, no_trees : str
        Why the step is not scored or judged, why not compared with trees; empty when it is.
    """

    step: str
    pitches: int
    happened: float | None = None
    loss: float | None = None
    interval: tuple[float, float] | None = None
    base: float | None = None
    trees: float | None = None
    line: Line | None = None
    bins: tuple[Bin, ...] = ()
    off: tuple[float, float] | None = None
    cannot: str = ""
    no_trees: str = ""

    @property
    def ratio(self) -> float | None:
        """Our loss as a multiple of the trees'; below one is better."""
        return _over(self.loss, self.trees)

    @property
    def skill(self) -> float | None:
        """Share of the base rate's loss that is saved."""
        over = _over(self.loss, self.base)
        return None if over is None else 1.0 - over


def _over(ours: float | None, theirs: float | None) -> float | None:
    return None if ours is None or not theirs else ours / theirs


@dataclass(frozen=True, slots=True)
class Scored:
    """A log scored.

    Attributes
    ----------
    pitches, left_out, games : int
        Pitches scored; rows without a place or side, bunts and pitches not meant as such; games.
    errors_by : str
        What goes together in errors and intervals: game, or at-bat where games are few.
    trees_from : str
        What the trees were grown on: "training log", "other games", or empty: not compared.
    steps : tuple of StepScore
    everyone : Read or None
        The next pitch of all pitchers.
    pitchers : tuple of Read
        Of each, most pitches first.
    unsure : int
        Pitches whose places nobody measured: what is said of them is averaged (see `unsure`).
    """

    pitches: int
    left_out: int
    games: int
    errors_by: str
    trees_from: str
    steps: tuple[StepScore, ...]
    everyone: Read | None
    pitchers: tuple[Read, ...]
    unsure: int = 0


class _Side:
    """A log as arrays, with what belongs together."""

    def __init__(self, frame: "pd.DataFrame", level: str) -> None:
        self.data: Data = data_of(frame, level)
        kept = frame.iloc[self.data.at]
        self.game = _keys(kept, "game_id" if "game_id" in kept else "game")
        self.groups, self.errors_by = scoring.groups_of(self.game, _numbered(_keys(kept, "at_bat")))

    def features(self, which: Bools, step: str) -> Floats:
        return rivals.features(self.data.rows.take(which), step)


def _keys(frame: "pd.DataFrame", column: str) -> "np.ndarray[tuple[int], np.dtype[np.str_]]":
    """Return a column as words; where the log has none, every row is on its own."""
    values = frame[column].tolist() if column in frame else range(len(frame))
    return np.array([str(value) for value in values], dtype=np.str_)


def _numbered(words: "np.ndarray[tuple[int], np.dtype[np.str_]]") -> Ints:
    return np.unique(words, return_inverse=True)[1].astype(np.intp)


def score_log(
    frame: "pd.DataFrame",
    league: League,
    train: "pd.DataFrame | None" = None,
    *,
    seed: int = 0,
    outsiders: Mapping[str, Outsider] | None = None,
) -> Scored:
    """Score a league on a log.

    Parameters
    ----------
    frame : DataFrame
        Columns of the pitch log, in the order thrown.
    league : League
        Its level is taken to be the log's.
    train : DataFrame, optional
        Log that the base rate and the trees know; without it the base rate is the log's own and
        the trees are grown on the log's other games.
    seed : int
        Of the intervals.
    outsiders : mapping, optional
        Further minds of who reads the next pitch, as in `next_pitch.forward`.

    Raises
    ------
    BadInput
        If a column is missing, no pitch has a place, or no step has pitches enough that came out
        more than one way.
    """
    side = _Side(frame, league.level)
    before = None if train is None else _Side(train, league.level)
    games = len(np.unique(side.game))
    trees_from = "training log" if before else "other games" if games > 1 else ""
    said = unsure.told(side.data, league)
    with rivals.one_thread():
        steps = tuple(_scored(step, side, before, said[step], seed) for step in STEPS)
    data = side.data
    if all(step.cannot for step in steps):
        raise BadInput(
            f"Nothing of this log can be scored: of its {len(data.rows)} usable pitches no step "
            f"has {FEWEST} that came out more than one way. Score a longer log."
        )
    everyone, pitchers = read_next(frame, seed=seed, outsiders=outsiders)
    seen = data.entries.unsure if data.entries else 0
    return Scored(
        len(data.rows), data.left_out, games, side.errors_by, trees_from, steps, everyone,
        pitchers, seen,
    )  # fmt: skip


def _scored(step: str, side: _Side, before: _Side | None, said: Floats, seed: int) -> StepScore:
    runs = step == "in_play"
    which, outcomes = steps.used(step, side.data)
    n, y = int(which.sum()), outcomes[which]
    if not n:
        return StepScore(step, 0, cannot=f"{_LACKS[step]} in this log")
    if n < FEWEST:
        return StepScore(step, n, cannot=f"only {n} of the {FEWEST} such pitches that it takes")
    groups = side.groups[which]
    loss = scoring.losses(y, said, runs=runs)
    base, trees, no_trees = _rivals(step, which, side, before)
    return StepScore(
        step,
        n,
        float(y.mean()),
        float(loss.mean()),
        scoring.interval(loss, groups, seed=seed),
        float(scoring.losses(y, base, runs=runs).mean()),
        None if trees is None else float(scoring.losses(y, trees, runs=runs).mean()),
        scoring.calibration(y, said, groups, runs=runs),
        tuple(scoring.reliability(y, said, runs=runs)),
        scoring.mean_error(y - said, groups),
        "" if np.ptp(y) > 0 else "it came out one way on all of them",
        no_trees,
    )


def _rivals(
    step: str, which: Bools, side: _Side, before: _Side | None
) -> tuple[Floats, Floats | None, str]:
    """Return what the base rate and the trees say of a step's pitches, and why trees do not."""
    runs, n = step == "in_play", int(which.sum())
    y, x = steps.used(step, side.data)[1][which], side.features(which, step)
    if before is not None:
        use, outcome = steps.used(step, before.data)
        if not use.any():
            return rivals.base_rate(y, n), None, "the training log has no such pitches"
        trees = rivals.grown(before.features(use, step), outcome[use], x, runs=runs)
        missing = "" if trees is not None else "the training log is too thin to grow trees on"
        return rivals.base_rate(outcome[use], n), trees, missing
    game = _numbered(side.game[which])
    trees = _by_games(x, y, game, runs=runs)
    if trees is not None:
        return rivals.base_rate(y, n), trees, ""
    why = "one game has no others" if game.max() < 1 else "the other games are too thin"
    return rivals.base_rate(y, n), None, f"{why} to grow trees on"


def _by_games(x: Floats, y: Floats, game: Ints, *, runs: bool) -> Floats | None:
    """Return what trees grown on other games say of each game's pitches, (n,)."""
    folds = min(FOLDS, int(game.max()) + 1)
    if folds < 2:
        return None
    shuffled = np.random.default_rng(0).permutation(int(game.max()) + 1)
    part, out = shuffled[game] % folds, np.empty(len(y))
    for k in range(folds):
        own = part == k
        trees = rivals.grown(x[~own], y[~own], x[own], runs=runs)
        if trees is None:
            return None
        out[own] = trees
    return out
