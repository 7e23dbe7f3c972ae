"""The sandwich: how far a fit may be off when rows of one game go together.

The covariance of a fit's coefficients is H^-1 (B + P) H^-1: H the curvature of the penalised fit,
P the precision of its prior, and B what the scores of whole groups vary by, since pitches of one
game are not independent (Liang and Zeger 1986, Biometrika 73, 13-22). P stands in the middle as
well: the prior may be as wrong as it says, so that a place without pitches is doubtful, not
certain.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from sequencer.estimates.arrays import Floats, Ints, expit, logit
from sequencer.estimates.newton import CHUNK, Design

#: Precision that keeps the log odds of a take from being anything where nobody takes (assumption).
_TAKE_PRECISION: Final = 0.25


@dataclass(frozen=True, slots=True)
class Problem:
    """What one step was fitted on, as `newton` reads it.

    Attributes
    ----------
    design : callable
        Slice of rows -> matrix (rows, k).
    outcome, ceiling, offset : array (n,)
        See `newton.logistic`.
    noise : float
        Standard deviation of a linear outcome; 0 where the outcome is nought or one.
    weight, pitch : array (n,), optional
        Where a row is a place that a pitch may have crossed: how likely, and of which pitch, whose
        places stand together. Else every row is a pitch.
    """

    design: Design
    outcome: Floats
    ceiling: Floats | None = None
    offset: Floats | None = None
    noise: float = 0.0
    weight: Floats | None = None
    pitch: Ints | None = None

    @property
    def pitches(self) -> int:
        """How many pitches it is of."""
        return len(self.outcome) if self.pitch is None else len(np.unique(self.pitch))

    def slopes(self, part: slice, line: Floats) -> tuple[Floats, Floats]:
        """Return each row's score and information by its own linear predictor, (rows,).

        They are of a row of weight one.
        """
        y = self.outcome[part]
        line = line if self.offset is None else line + self.offset[part]
        if self.noise:
            return (y - line) / self.noise**2, np.full(len(y), self.noise**-2.0)
        top = 1.0 if self.ceiling is None else self.ceiling[part]
        ready = expit(line)
        p = np.clip(top * ready, 1e-12, 1.0 - 1e-12)
        slope, spread = top * ready * (1.0 - ready), p * (1.0 - p)
        return (y - p) * slope / spread, slope**2 / spread


def scored(
    problem: Problem, coefficients: Floats, groups: Sequence[Ints]
) -> tuple[Floats, list[Floats]]:
    """Return a step's information and its scores summed by group.

    Parameters
    ----------
    problem : Problem
        Of n rows and k coefficients.
    coefficients : array (k,)
        Where it is scored: the fit.
    groups : sequence of int arrays (n,)
        Ways of grouping the rows.

    Returns
    -------
    information : array (k, k)
        Expected curvature of the log likelihood, without a prior. Of pitches whose place is unsure
        it is the sum of their scores' squares: what is known of them, not what their places would
        tell if they were known (Louis 1982, JRSS B 44, 226-233).
    sums : list of arrays (groups, k)
    """
    if problem.pitch is not None and problem.weight is not None:
        return _scored_by_pitch(problem, problem.pitch, problem.weight, coefficients, groups)
    k, n = len(coefficients), len(problem.outcome)
    information = np.zeros((k, k))
    sums = [np.zeros((int(group.max(initial=-1)) + 1, k)) for group in groups]
    for start in range(0, n, CHUNK):
        part = slice(start, min(start + CHUNK, n))
        x = problem.design(part)
        score, weight = problem.slopes(part, x @ coefficients)
        information += x.T @ (x * weight[:, None])
        for total, group in zip(sums, groups, strict=True):
            _add(total, group[part], x * score[:, None])
    return information, sums


def _scored_by_pitch(
    problem: Problem, pitch: Ints, weight: Floats, coefficients: Floats, groups: Sequence[Ints]
) -> tuple[Floats, list[Floats]]:
    """Return what `scored` does where a pitch has several places: its score is their mean."""
    k, first = len(coefficients), np.flatnonzero(np.diff(pitch, prepend=-1))
    information = np.zeros((k, k))
    sums = [np.zeros((int(group.max(initial=-1)) + 1, k)) for group in groups]
    ends = np.append(first, len(pitch))
    for i in range(0, len(first), CHUNK // 10):
        own = first[i : i + CHUNK // 10]
        part = slice(own[0], ends[min(i + CHUNK // 10, len(first))])
        x = problem.design(part)
        score = problem.slopes(part, x @ coefficients)[0] * weight[part]
        rows = np.add.reduceat(x * score[:, None], own - own[0], axis=0)
        information += rows.T @ rows
        for total, group in zip(sums, groups, strict=True):
            _add(total, group[own], rows)
    return information, sums


def _add(total: Floats, group: Ints, rows: Floats) -> None:
    """Add rows to the totals of their groups."""
    order = np.argsort(group, kind="stable")
    ordered = group[order]
    first = np.flatnonzero(np.diff(ordered, prepend=-1))
    total[ordered[first]] += np.add.reduceat(rows[order], first, axis=0)


def between_groups(sums: Floats) -> Floats:
    """Return the covariance of the total score, (k, k), were the groups drawn anew.

    Groups without rows do not count; one group says nothing and gives nought.
    """
    seen = sums[np.any(sums != 0.0, axis=1)]
    groups = len(seen)
    if groups < 2:
        return np.zeros((sums.shape[1], sums.shape[1]))
    away = seen - seen.mean(0)
    return np.asarray(away.T @ away * (groups / (groups - 1.0)))


def root(information: Floats, between: Floats, prior: Floats | float = 0.0) -> Floats:
    """Return R (k, k), so that R R' is the covariance of the coefficients.

    Parameters
    ----------
    information, between : array (k, k)
        See `scored` and `between_groups`.
    prior : array (k,)
        Precision of the prior of each coefficient.
    """
    precision = np.diag(np.broadcast_to(np.asarray(prior, dtype=np.float64), len(information)))
    return np.asarray(np.linalg.inv(information + precision) @ _half(between + precision))


def _half(covariance: Floats) -> Floats:
    """Return a root of a covariance, which may have none in some directions."""
    try:
        return np.asarray(np.linalg.cholesky(covariance))
    except np.linalg.LinAlgError:
        size, axes = np.linalg.eigh(covariance)
        return np.asarray(axes * np.sqrt(np.maximum(size, 0.0)))


@dataclass(frozen=True, slots=True)
class Spread:
    """What one step's coefficients may be off by.

    Attributes
    ----------
    half : array (k, k)
        Root of their covariance, the prior's centre held.
    inverse : array (k, k)
        Inverse of the curvature, the prior's included.
    penalty : array (k,)
        Precision of the prior.
    by : str
        What was taken together.
    """

    half: Floats
    inverse: Floats
    penalty: Floats
    by: str

    @property
    def held(self) -> Floats:
        """How far a move of the prior's centre moves the coefficients, (k, k)."""
        return self.inverse * self.penalty

    def errors(self, at: Floats, centre: Floats) -> Floats:
        """Return standard errors (rows,) of rows (rows, k) of a design.

        `centre` (draws, k) are draws of what the prior's centre is off by; none where it is given.
        """
        moved = ((at @ self.held @ centre.T) ** 2).mean(1) if len(centre) else 0.0
        return np.asarray(np.sqrt(((at @ self.half) ** 2).sum(1) + moved))

    def drawn(self, draws: int, rng: np.random.Generator, centre: Floats) -> Floats:
        """Return draws (draws, k) of what the coefficients are off by; `centre` as in `errors`."""
        moves = rng.standard_normal((draws, len(self.half))) @ self.half.T
        if len(centre):
            moves += centre[np.arange(draws) % len(centre)] @ self.held.T
        return np.asarray(moves)


def spread_of(
    problem: Problem,
    coefficients: Floats,
    penalty: Floats,
    groups: dict[str, Ints],
    at: Floats,
) -> Spread:
    """Return what a fitted step may be off by: the largest by game, by hitter, by pitch.

    Parameters
    ----------
    problem, coefficients, penalty : Problem, array (k,), array (k,)
        What was fitted, the fit, and the precision of its prior.
    groups : name -> array (n,)
        Ways of grouping the rows.
    at : array (rows, k)
        Design of the places that the ways are compared at.
    """
    information, sums = scored(problem, coefficients, list(groups.values()))
    ways = {"pitch": information} | {
        name: between_groups(total) for name, total in zip(groups, sums, strict=True)
    }
    precision = np.diag(penalty)
    inverse = np.linalg.inv(information + precision)
    reach = at @ inverse
    sizes = {name: float(np.sum((reach @ between) * reach)) for name, between in ways.items()}
    by = max(sizes, key=lambda name: sizes[name])
    return Spread(inverse @ _half(ways[by] + precision), np.asarray(inverse), penalty, by)


def with_takes(problem: Problem, coefficients: Floats, take: Floats, count: Ints) -> Problem:
    """Return the swing's problem with the log odds of a take in each count, (12,), unknown too.

    A pitch is swung at with chance (1 - take) x ready, so a take's column is told in moves of the
    ready hitter's own log odds; the coefficients of these columns are nought where it is scored.
    """

    def matrix(part: slice) -> Floats:
        x, here = problem.design(part), count[part]
        ready = expit(x @ coefficients)
        takes = np.zeros((len(x), take.size))
        takes[np.arange(len(x)), here] = -take.ravel()[here] / np.maximum(1.0 - ready, 1e-12)
        return np.concatenate([x, takes], axis=1)

    return replace(problem, design=matrix)


def take_precision(take: Floats, pitches: float) -> Floats:
    """Return the precision (12,) of a take's log odds by a prior that weighs these pitches."""
    return np.asarray(pitches * (take * (1.0 - take)).ravel() + _TAKE_PRECISION)


def take_draws(take: Floats, moves: Floats) -> Floats:
    """Return takes (draws, 4, 3) whose log odds are moved by (draws, 12)."""
    return np.asarray(expit(logit(take) + moves.reshape(-1, *take.shape)))


def swing_rows(at: Floats, ready: Floats, take: float, count: int, counts: int) -> Floats:
    """Return the design of a swing's log odds, takes included, from that of a ready hitter's.

    Parameters
    ----------
    at : array (rows, k)
    ready : array (rows,)
        Chance that a ready hitter swings.
    take, count, counts : float, int, int
        Share taken in the count of the rows, its number, and how many columns of takes there are.
    """
    never = 1.0 - (1.0 - take) * ready
    x = at * ((1.0 - ready) / never)[:, None]
    takes = np.zeros((len(at), counts))
    takes[:, count] = -take / never
    return np.concatenate([x, takes], axis=1)
