"""What being read is worth: runs a reader would gain with looks learnt on other games.

The reader counts calls by count in some games, picks the look that would do best against those
shares, and is scored on the calls of the other games against the hitter's equilibrium look. Looks
that are fitted and scored on the same pitches would flatter him.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Codes = NDArray[np.int64]

#: Pitches the plan's mix counts for in each count of the reader's tally. Assumption.
PRIOR_PITCHES: Final = 20.0
#: Games are left out in at most this many groups.
FOLDS: Final = 10
RESAMPLES: Final = 1000
NO_PLAN: Final = (
    "No plan to hold it against, or too few targets charted: what a reader would gain in runs is "
    "not known."
)


@dataclass(frozen=True)
class Stakes:
    """The solved at-bat game as arrays.

    Attributes
    ----------
    payoffs : ndarray, shape (hitters, 4, 3, lasts, calls, looks)
        Runs to the hitting side, later pitches played as solved.
    looks : ndarray, shape (hitters, 4, 3, lasts, looks)
        The hitter's equilibrium mix of looks.
    mix : ndarray, shape (hitters, 4, 3, lasts, calls)
        The plan.
    calls : tuple of (pitch, target)
        The words of the calls; empty where single habits are not to be priced.
    """

    payoffs: Floats
    looks: Floats
    mix: Floats
    calls: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Called:
    """Calls made; every array has shape (pitches,). `game` numbers games from 0.

    `row` is each pitch's position in the log; None where single habits are not to be priced.
    """

    hitter: Codes
    balls: Codes
    strikes: Codes
    last: Codes
    call: Codes
    game: Codes
    row: Codes | None = None


@dataclass(frozen=True)
class Worth:
    """Runs per 100 pitches with their 95 % interval; None with a sentence why."""

    runs_per_100: float | None
    interval: tuple[float, float] | None
    says: str

    @property
    def surely(self) -> bool:
        """True where the whole interval is above nought."""
        return self.interval is not None and self.interval[0] > 0


def payoffs(
    outcomes: Floats,
    end_runs: Floats,
    next_last: Codes,
    value: Floats,
    *,
    walk: float,
    strikeout: float,
    hit_by_pitch: float,
    call_runs: Floats | None = None,
) -> Floats:
    """Return what each call comes to against each look when later pitches are worth `value`.

    Parameters
    ----------
    outcomes : ndarray, shape (hitters, 4, 3, lasts, calls, looks, 5)
        Chances of ball, strike, foul, end, hit by pitch.
    end_runs, call_runs : ndarray, shape (hitters, 4, 3, lasts, calls, looks)
    next_last : ndarray, shape (calls,)
    value : ndarray, shape (hitters, 4, 3, lasts)

    Returns
    -------
    ndarray, shape (hitters, 4, 3, lasts, calls, looks)
    """
    runs: Floats = outcomes[..., 3] * end_runs + outcomes[..., 4] * hit_by_pitch
    if call_runs is not None:
        runs = runs + call_runs
    after = value[..., next_last]
    for balls in range(4):
        for strikes in range(3):
            ball = after[:, balls + 1, strikes] if balls < 3 else walk
            strike = after[:, balls, strikes + 1] if strikes < 2 else strikeout
            foul = strike if strikes < 2 else after[:, balls, strikes]
            for column, worth_ in enumerate((ball, strike, foul)):
                ahead = np.broadcast_to(worth_, after[:, 0, 0].shape)[:, None, :, None]
                runs[:, balls, strikes] += outcomes[:, balls, strikes, ..., column] * ahead
    return runs


def equilibrium_looks(payoffs_: Floats) -> Floats:
    """Return the look mix that guarantees the hitter most in each stage, (..., looks).

    For tables whose looks were not kept; one linear program a stage.

    Parameters
    ----------
    payoffs_ : ndarray, shape (..., calls, looks)
        The pitcher minimises over calls, the hitter maximises over looks.
    """
    from scipy.optimize import linprog

    calls, looks = payoffs_.shape[-2:]
    stages = payoffs_.reshape(-1, calls, looks)
    mixes = np.empty((len(stages), looks))
    for i, stage in enumerate(stages):
        # maximise v with stage @ mix >= v for every call
        solved = linprog(
            np.append(np.zeros(looks), -1.0),
            A_ub=np.hstack([-stage, np.ones((calls, 1))]),
            b_ub=np.zeros(calls),
            A_eq=np.append(np.ones(looks), 0.0)[None],
            b_eq=[1.0],
            bounds=[(0, None)] * looks + [(None, None)],
        )
        mixes[i] = np.maximum(solved.x[:looks], 0)
    shares: Floats = mixes / mixes.sum(axis=1, keepdims=True)
    return shares.reshape(*payoffs_.shape[:-2], looks)


def gains(stakes: Stakes, called: Called) -> Floats:
    """Return what the reader gains on each call when it is held out, (pitches,).

    His look is the best reply to the shares he counted in the other games; the equilibrium look is
    what he is held against. Below zero where what he counted was chance.
    """
    fold = called.game % FOLDS
    gained = np.empty(len(called.call))
    for each in np.unique(fold):
        out = fold == each
        shares = _shares(stakes, called, ~out)
        at = (called.hitter[out], called.balls[out], called.strikes[out], called.last[out])
        stage = stakes.payoffs[at]
        look = np.einsum("nc,nck->nk", shares[(*at[1:3], at[0], at[3])], stage).argmax(axis=1)
        mine = stage[np.arange(len(look)), called.call[out]]
        even = (mine * stakes.looks[at]).sum(axis=1)
        gained[out] = mine[np.arange(len(look)), look] - even
    return gained


def _shares(stakes: Stakes, called: Called, seen: NDArray[np.bool_]) -> Floats:
    """Return shares the reader believes, counts over the plan: (4, 3, hitters, lasts, calls)."""
    calls = stakes.mix.shape[-1]
    counts = np.zeros((4, 3, calls))
    np.add.at(counts, (called.balls[seen], called.strikes[seen], called.call[seen]), 1.0)
    plan = np.moveaxis(stakes.mix, 0, 2)
    total = counts.sum(axis=2)[:, :, None, None, None] + PRIOR_PITCHES
    shares: Floats = (counts[:, :, None, None] + PRIOR_PITCHES * plan) / total
    return shares


def worth(
    stakes: Stakes | None,
    called: Called | None,
    rng: np.random.Generator,
    unit: Codes | None = None,
) -> Worth:
    """Return what a reader of these calls would gain per 100 pitches.

    Parameters
    ----------
    stakes : Stakes or None
        None where there is no plan.
    called : Called or None
    rng : numpy Generator
        For the interval.
    unit : ndarray, shape (pitches,), optional
        Codes of what is drawn again for the interval, such as at-bats where games are few; games
        when not given.
    """
    if stakes is None or called is None or not len(called.call):
        return Worth(None, None, NO_PLAN)
    if len(np.unique(called.game)) < 2:
        return Worth(None, None, "One game: a reader has nothing to have learnt from.")
    unit = called.game if unit is None else unit
    mean, low, high = per_100(gains(stakes, called), unit, rng)
    says = (
        f"A reader with this much to go by would gain {mean:.2f} runs in 100 pitches "
        f"(95 in 100: {low:.2f} to {high:.2f})."
    )
    return Worth(mean, (low, high), says)


def per_100(gained: Floats, unit: Codes, rng: np.random.Generator) -> tuple[float, float, float]:
    """Return runs per 100 pitches and their 95 % interval, whole units drawn again.

    Parameters
    ----------
    gained : ndarray, shape (pitches,)
    unit : ndarray, shape (pitches,)
        Codes of the games, or at-bats, they are of.
    """
    _, place = np.unique(unit, return_inverse=True)
    by_unit = np.bincount(place, weights=gained)
    pitches = np.bincount(place).astype(float)
    drawn = rng.multinomial(len(pitches), np.full(len(pitches), 1 / len(pitches)), size=RESAMPLES)
    low, high = np.quantile(100 * (drawn @ by_unit) / (drawn @ pitches), (0.025, 0.975))
    return 100 * float(gained.mean()), float(low), float(high)
