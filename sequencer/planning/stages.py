"""The at-bat as a game: what one pitch is worth in every state, given what the next ones are.

A state is a count and what the last pitch showed. Arrays lead with (hitters, 4 balls, 3 strikes,
lasts); runs go to the hitting side. A fourth ball is a walk and a third strike a strikeout; a foul
is a strike, but keeps the count when there are two; every pitch that does not end the at-bat moves
the last pitch to ``next_last`` of its call.
"""

from abc import ABC, abstractmethod
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from sequencer.planning.arrays import Bools, Floats, Ints
from sequencer.planning.matrix_game import BadGame

BALL, STRIKE, FOUL, END, HIT_BY_PITCH = range(5)
TWO_STRIKES = 2
COUNTS_BACKWARD = tuple((balls, strikes) for strikes in (2, 1, 0) for balls in (3, 2, 1, 0))


def ahead_of(since: tuple[int, int]) -> tuple[tuple[int, int], ...]:
    """Return the counts an at-bat can still reach, that one with them, from the last backward."""
    balls, strikes = since
    return tuple(count for count in COUNTS_BACKWARD if count[0] >= balls and count[1] >= strikes)


ENDLESS = 1.0 - 1e-9
"""No pitch is fouled off more surely than this, or an at-bat might never end (assumption)."""


@dataclass(frozen=True, eq=False)
class Stages(ABC):
    """The stage games of several at-bats, however the tables behind them are held.

    Attributes
    ----------
    next_last : array (calls,)
    walk, strikeout, hit_by_pitch : arrays (hitters,)
        Runs.
    habit : array (hitters, 4, 3, lasts, looks) or None
    trust : array (hitters,)
    allowed : array (hitters, calls)
    """

    next_last: Ints
    walk: Floats
    strikeout: Floats
    hit_by_pitch: Floats
    habit: Floats | None
    trust: Floats
    allowed: Bools

    @property
    @abstractmethod
    def sizes(self) -> tuple[int, int, int, int]:
        """Numbers of hitters, lasts, calls and looks."""

    @abstractmethod
    def payoffs(self, values: Floats, balls: int, strikes: int) -> Floats:
        """(hitters, lasts, calls, looks): runs of a pitch, fouls with two strikes left out."""

    @abstractmethod
    def fouls(self, balls: int) -> Floats:
        """(hitters, lasts, calls, looks): chance that two strikes stay two."""

    def blank_values(self) -> Floats:
        """(hitters, 5 balls, 4 strikes, lasts): walks and strikeouts filled in, the rest nought."""
        hitters, lasts = self.sizes[:2]
        values = np.zeros((hitters, 5, 4, lasts))
        values[:, 4] = self.walk[:, None, None]
        values[:, :, 3] = self.strikeout[:, None, None]
        return values

    def stage(self, values: Floats, balls: int, strikes: int) -> Floats:
        """(hitters, lasts, calls, looks): the whole stage game at given values and this trust."""
        payoffs = self.payoffs(values, balls, strikes)
        if strikes == TWO_STRIKES:
            again = values[:, balls, strikes][:, self.next_last]
            payoffs += self.fouls(balls) * again[:, None, :, None]
        return self.leaning(payoffs, balls, strikes)

    def leaning(self, payoffs: Floats, balls: int, strikes: int) -> Floats:
        """Payoffs when the look is drawn from the habit as often as the book is trusted.

        Restricted Nash response: Johanson, Zinkevich and Bowling 2007.
        """
        if self.habit is None or not self.trust.any():
            return payoffs
        usual = np.matmul(payoffs, self.habit[:, balls, strikes, :, :, None])
        trust = self.trust[:, None, None, None]
        leaning: Floats = trust * usual + (1.0 - trust) * payoffs
        return leaning

    def after(self, values: Floats, balls: int, strikes: int) -> Floats:
        """(3, hitters, calls): runs after a ball, a strike and a foul on each call.

        A foul with two strikes, which keeps the count, is left out: nought.
        """
        then = values[:, :, :, self.next_last]
        strike = then[:, balls, strikes + 1]
        foul = strike if strikes < TWO_STRIKES else np.zeros_like(strike)
        return np.stack([then[:, balls + 1, strikes], strike, foul])


@dataclass(frozen=True, eq=False)
class AtBatTables(Stages):
    """Checked tables of several at-bats; see ``at_bat_tables``."""

    outcomes: Floats
    end_runs: Floats
    call_runs: Floats | None

    @property
    def sizes(self) -> tuple[int, int, int, int]:
        """Numbers of hitters, lasts, calls and looks."""
        return self.outcomes.shape[0], *self.outcomes.shape[3:6]

    def payoffs(self, values: Floats, balls: int, strikes: int) -> Floats:
        """(hitters, lasts, calls, looks): runs of a pitch, fouls with two strikes left out."""
        after = self.after(values, balls, strikes)
        weights = np.zeros((*after.shape[1:], 5))
        weights[..., BALL], weights[..., STRIKE], weights[..., FOUL] = after
        weights[..., HIT_BY_PITCH] = self.hit_by_pitch[:, None]
        outcomes = self.outcomes[:, balls, strikes]
        payoffs: Floats = np.matmul(outcomes, weights[:, None, :, :, None])[..., 0]
        payoffs += outcomes[..., END] * self.end_runs[:, balls, strikes]
        if self.call_runs is not None:
            payoffs += self.call_runs[:, balls, strikes]
        return payoffs

    def fouls(self, balls: int) -> Floats:
        """(hitters, lasts, calls, looks): chance that two strikes stay two."""
        fouls: Floats = np.minimum(self.outcomes[:, balls, TWO_STRIKES, ..., FOUL], ENDLESS)
        return fouls


def at_bat_tables(
    outcomes: ArrayLike,
    end_runs: ArrayLike,
    next_last: ArrayLike,
    walk: ArrayLike,
    strikeout: ArrayLike,
    hit_by_pitch: ArrayLike,
    call_runs: ArrayLike | None = None,
    habit: ArrayLike | None = None,
    trust: ArrayLike = 0.0,
    allowed: ArrayLike | None = None,
) -> AtBatTables:
    """Check the tables of several at-bats, to be solved or valued any number of times.

    Parameters
    ----------
    outcomes
        (hitters, 4, 3, lasts, calls, looks, 5): probabilities of ball, strike, foul, end of the
        at-bat, hit by pitch. A foul tip is a strike.
    end_runs
        (hitters, 4, 3, lasts, calls, looks): expected runs given that the pitch ends the at-bat.
    next_last
        (calls,): the last pitch that each call leaves behind.
    walk, strikeout, hit_by_pitch
        Runs, one for all or (hitters,).
    call_runs
        Shaped as ``end_runs``: runs by the way, whatever the pitch comes to.
    habit
        (hitters, 4, 3, lasts, looks): the hitter's usual mix of looks.
    trust
        Chance, 0 to 1, that a look is drawn from the habit, afresh at each pitch; one for all or
        (hitters,).
    allowed
        (calls,) or (hitters, calls): calls that may be used. All, when absent.

    Raises
    ------
    BadGame
        For wrong shapes, numbers that are not finite, probabilities that do not sum to one.
    """
    chances = numbers("outcomes", outcomes)
    if chances.ndim != 7 or chances.shape[1:3] != (4, 3) or chances.shape[6] != 5:
        raise BadGame(
            "Outcomes must have the shape (hitters, 4, 3, lasts, calls, looks, 5), not "
            f"{chances.shape}."
        )
    if 0 in chances.shape[3:6]:
        raise BadGame("An at-bat needs at least one last pitch, one call and one look.")
    _check_chances("outcomes", chances)
    shape, hitters = chances.shape[:-1], chances.shape[0]
    return AtBatTables(
        outcomes=chances,
        end_runs=_fitting("end runs", end_runs, shape),
        next_last=_lasts(next_last, shape[4], shape[3]),
        walk=_fitting("walk", walk, (hitters,)),
        strikeout=_fitting("strikeout", strikeout, (hitters,)),
        hit_by_pitch=_fitting("hit by pitch", hit_by_pitch, (hitters,)),
        call_runs=None if call_runs is None else _fitting("call runs", call_runs, shape),
        habit=None if habit is None else mixes("habit", habit, (*shape[:4], shape[5])),
        trust=trust_of(trust, habit, hitters),
        allowed=_allowed(allowed, (hitters, shape[4])),
    )


def one_hitter(name: str, given: ArrayLike) -> Floats:
    """Put a hitters axis of one in front, but leave one number for all."""
    array = numbers(name, given)
    return array[None] if array.ndim else array


def one_hitter_if_given(name: str, given: ArrayLike | None) -> Floats | None:
    """Likewise, and nothing for nothing."""
    return None if given is None else one_hitter(name, given)


def mixes(name: str, given: ArrayLike, shape: tuple[int, ...]) -> Floats:
    """Check mixes (probabilities over the last axis) of a given shape."""
    mix = _fitting(name, given, shape)
    _check_chances(name, mix)
    return mix


def numbers(name: str, given: ArrayLike) -> Floats:
    """Read an array of finite numbers, or say what is wrong with it."""
    try:
        array = np.asarray(given, dtype=np.float64)
    except (TypeError, ValueError) as error:
        raise BadGame(f"The {name} must be an array of numbers.") from error
    # A sum is finite when every number is, unless they are beyond any runs: one pass, no copy.
    if not np.isfinite(array.sum()):
        bad = np.argwhere(~np.isfinite(array))
        where = f" at {tuple(int(n) for n in bad[0])}" if bad.size else ""
        raise BadGame(f"The {name} hold something that is not a finite number{where}.")
    return array


def _fitting(name: str, given: ArrayLike, shape: tuple[int, ...]) -> Floats:
    array = numbers(name, given)
    if array.ndim == len(shape) or array.ndim == 0:
        try:
            return np.broadcast_to(array, shape)
        except ValueError:
            pass
    raise BadGame(f"The {name} must have the shape {shape}, not {array.shape}.")


def _check_chances(name: str, chances: Floats) -> None:
    least = chances.min(initial=0.0)
    total = np.matmul(chances, np.ones(chances.shape[-1]))
    if least >= -1e-9 and total.min(initial=1.0) > 1 - 1e-6 and total.max(initial=1.0) < 1 + 1e-6:
        return
    wrong = (np.abs(total - 1.0) >= 1e-6) | (chances.min(axis=-1) < -1e-9)
    where = tuple(int(n) for n in np.argwhere(wrong)[0])
    raise BadGame(f"The {name} at {where} must be probabilities that sum to one.")


def _lasts(next_last: ArrayLike, calls: int, lasts: int) -> Ints:
    given = np.asarray(next_last)
    if given.shape != (calls,) or given.dtype.kind not in "iu":
        raise BadGame(f"Next last must be {calls} whole numbers, one for each call.")
    if given.min() < 0 or given.max() >= lasts:
        raise BadGame(f"Next last must name one of the {lasts} lasts, from 0 to {lasts - 1}.")
    return given.astype(np.intp)


def trust_of(trust: ArrayLike, habit: ArrayLike | None, hitters: int) -> Floats:
    """Check a trust, one for all or (hitters,)."""
    share = _fitting("trust", trust, (hitters,))
    outside = share[(share < 0.0) | (share > 1.0)]
    if outside.size:
        raise BadGame(f"Trust must be from 0 to 1, not {outside[0]:g}.")
    if share.any() and habit is None:
        raise BadGame("Trust above 0 needs the hitter's habit: give it, or plan at trust 0.")
    return share


def _allowed(allowed: ArrayLike | None, shape: tuple[int, int]) -> Bools:
    try:
        mask = np.broadcast_to(np.asarray(True if allowed is None else allowed, dtype=bool), shape)
    except ValueError as error:
        raise BadGame(f"Allowed calls must have the shape {shape} or ({shape[1]},).") from error
    if not mask.any(axis=1).all():
        raise BadGame("A hitter has no allowed call: allow at least one.")
    return mask


def worth_of_staying(gains: Floats, moves: Floats) -> Floats:
    """(..., lasts): what states are worth that a foul may lead back to.

    Parameters
    ----------
    gains : array (..., lasts)
        Runs of a pitch that is not fouled.
    moves : array (..., lasts, lasts)
        Chance of a foul, by the last pitch it leaves behind.
    """
    stays = np.eye(moves.shape[-1]) - moves
    return np.asarray(np.linalg.solve(stays, gains[..., None])[..., 0], dtype=np.float64)
