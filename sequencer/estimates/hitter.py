"""What we believe of one hitter: traits and habit, each with its spread."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from sequencer.baseball import marks as mark_table
from sequencer.baseball.count import EVEN, HITTERS_COUNTS
from sequencer.errors import BadInput
from sequencer.estimates import league as leagues
from sequencer.estimates.arrays import Floats, expit, logit
from sequencer.estimates.hitter_data import Seen, seen
from sequencer.estimates.league import League
from sequencer.estimates.traits import INDEX, TRAIT_TABLE, TRAITS, prior_sd

if TYPE_CHECKING:
    import pandas as pd

    from sequencer.records.people import Mark, Person

__all__ = ["TRAITS", "HitterBelief", "average", "believe"]

#: Hitters of a level differ more than professionals do (assumption; talent at the top is cut from
#: a narrow end): factor on every prior spread.
TALENT: Final = {
    "9-10": 1.5,
    "11-12": 1.5,
    "13-14": 1.4,
    "15-16": 1.3,
    "17-18": 1.25,
    "college": 1.1,
    "pro": 1.0,
}
#: The furthest that marks together may move a trait, in prior spreads (assumption).
MOST_SHIFT: Final = 2.5
_STEPS: Final = 12
_SURE: Final = 1.96


@dataclass(frozen=True, slots=True)
class HitterBelief:
    """A hitter as the book knows him.

    Attributes
    ----------
    name : str
    bats : str
        R or L: the side he hits from against this pitcher.
    level : str
    mean : array (traits,)
        Mean of each trait in the order of `TRAITS`; nought is the league's hitter. Units as in
        `traits`.
    cov : array (traits, traits)
        Its covariance.
    take_share : array (4, 3)
        How often he takes whatever comes, by balls and strikes: his habit.
    fast_belief : array (4, 3)
        The probability of a fast pitch that he expects, by balls and strikes: his habit.
    protect : array (4, 3)
        How often he protects rather than drives when he does not take (1 with two strikes for the
        league).
    pitches : int
        Logged pitches behind it.
    notes : tuple of str
        Sentences for a coach: what could not be used, where marks and pitches disagree.
    """

    name: str
    bats: str
    level: str
    mean: Floats
    cov: Floats
    take_share: Floats
    fast_belief: Floats
    protect: Floats
    pitches: int = 0
    notes: tuple[str, ...] = ()

    def trait(self, name: str) -> tuple[float, float]:
        """Return mean and standard deviation of one trait."""
        i = INDEX[name]
        return float(self.mean[i]), float(np.sqrt(self.cov[i, i]))


def average(level: str, *, name: str = "average hitter", bats: str = "R") -> HitterBelief:
    """Return the hitter of whom nothing is known: his level's habit, the whole prior spread."""
    league = leagues.load(level)
    return _belief(name, bats, league, np.zeros(len(TRAITS)), np.diag(spread(level) ** 2), 0, ())


def spread(level: str) -> Floats:
    """Return the prior spread of each trait among a level's hitters, in the order of `TRAITS`."""
    return prior_sd() * TALENT.get(level, 1.0)


def believe(
    person: "Person",
    marks: "Iterable[Mark]",
    pitches: "pd.DataFrame | None",
    league: League,
    *,
    bats: str = "",
    throws: str = "",
) -> HitterBelief:
    """Return what marks and logged pitches say of a hitter.

    Parameters
    ----------
    person : Person
    marks : iterable of Mark
        What a coach saw: each moves the prior mean of its traits.
    pitches : DataFrame or None
        The pitches he saw, columns of the pitch log; those from his other side are left out.
    league : League
    bats : str
        R or L; else his only side, else the side opposite to `throws`, else R.
    throws : str
        The pitcher's hand, for a hitter of both sides.

    Returns
    -------
    HitterBelief
        Traits by a Laplace approximation: Gaussian prior, Newton steps on the likelihood of swings,
        misses, fouls, contact, timing and direction.
    """
    side = bats or _side(person.bats, throws)
    sd = spread(league.level)
    start = mark_shifts(marks) * sd
    if pitches is None or pitches.empty:
        return _belief(person.label, side, league, start, np.diag(sd**2), 0, ())
    data = seen(pitches, side, league)
    mean, cov = posterior(data, start, sd, league.take_share)
    notes = (*data.notes, *_disagreements(start, mean, sd, cov, data.n))
    return _belief(person.label, side, league, mean, cov, data.n, notes)


def _side(bats: str, throws: str) -> str:
    if bats in ("R", "L"):
        return bats
    return {"R": "L", "L": "R"}.get(throws, "R")


def mark_shifts(marks: "Iterable[Mark]") -> Floats:
    """Return the shift of each trait, in prior spreads, of all marks together.

    Raises
    ------
    BadInput
        If a mark is not one of the table's.
    """
    total = np.zeros(len(TRAITS))
    for mark in marks:
        moved = mark_table.shifts(
            mark.mark, how_often=mark.how_often, against=mark.against, seen_in=mark.seen_in
        )
        for trait, shift in moved.items():
            if trait not in INDEX:
                raise BadInput(f"The mark '{mark.mark}' moves '{trait}', which is no trait.")
            total[INDEX[trait]] += shift
    return np.clip(total, -MOST_SHIFT, MOST_SHIFT)


def posterior(data: Seen, start: Floats, sd: Floats, take: Floats) -> tuple[Floats, Floats]:
    """Return mean and covariance of the traits given what was seen.

    Parameters
    ----------
    data : Seen
    start, sd : array (traits,)
        Prior mean and spread.
    take : array (4, 3)
        The league's habit of taking.
    """
    precision = np.diag(sd**-2.0)
    mean = start.copy()
    curvature = precision
    for _ in range(_STEPS):
        gradient, information = data.scores(mean, take)
        curvature = precision + information
        move = np.linalg.solve(curvature, gradient - precision @ (mean - start))
        # No step longer than a prior spread: far from the mode the expected curvature misleads.
        move *= min(1.0, 1.0 / max(float(np.max(np.abs(move / sd))), 1e-12))
        mean = mean + move
        if np.max(np.abs(move / sd)) < 1e-4:
            break
    return mean, np.asarray(np.linalg.inv(curvature), dtype=np.float64)


def habit_of(mean: Floats, take: Floats) -> Floats:
    """Return how often he takes by count: the league's habit moved by his traits."""
    moved = np.full((4, 3), -mean[INDEX["aggressive"]])
    moved[0, 0] -= mean[INDEX["first_pitch"]]
    return np.where(take > 0.0, expit(logit(take) + moved), 0.0)


def fast_belief_of(mean: Floats, fast: Floats) -> Floats:
    """Return the probability of a fast pitch he expects: moved most in hitter's counts."""
    weight = np.zeros((4, 3))
    for balls, strikes in EVEN:
        weight[balls, strikes] = 0.5
    for balls, strikes in HITTERS_COUNTS:
        weight[balls, strikes] = 1.0
    return expit(logit(fast) + weight * mean[INDEX["fast_belief"]])


def _belief(
    name: str,
    bats: str,
    league: League,
    mean: Floats,
    cov: Floats,
    n: int,
    notes: tuple[str, ...],
) -> HitterBelief:
    protect = np.zeros((4, 3))
    protect[:, 2] = 1.0
    take = habit_of(mean, league.take_share)
    fast = fast_belief_of(mean, league.fast_share)
    return HitterBelief(name, bats, league.level, mean, cov, take, fast, protect, n, notes)


def _disagreements(start: Floats, mean: Floats, sd: Floats, cov: Floats, n: int) -> tuple[str, ...]:
    """Say where pitches contradict marks: moved further against them than chance would move it."""
    said = []
    for i, trait in enumerate(TRAIT_TABLE):
        learnt = max(sd[i] ** 2 - cov[i, i], 1e-12)
        against = (mean[i] - start[i]) * np.sign(start[i])
        if abs(start[i]) > 0.5 * sd[i] and against < -_SURE * np.sqrt(learnt):
            word = "more" if start[i] > 0 else "less"
            said.append(
                f"Marks and pitches disagree: by the marks he {trait.says} {word} than most; "
                f"his {n} pitches say otherwise."
            )
    return tuple(said)
