"""What we believe of one hitter: traits and habit, each with its spread."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

import numpy as np

from sequencer.baseball import marks as mark_table
from sequencer.errors import BadInput
from sequencer.estimates import hitter_words
from sequencer.estimates import league as leagues
from sequencer.estimates.arrays import Floats, expit, logit
from sequencer.estimates.hitter_data import Seen, habit, seen
from sequencer.estimates.hitter_rows import BELIEF_WEIGHT, OTHER_SIDE, from_side
from sequencer.estimates.league import League
from sequencer.estimates.traits import INDEX, TRAITS, assumed_sd, prior_sd

if TYPE_CHECKING:
    import pandas as pd

    from sequencer.records.people import Mark, Person

__all__ = ["TRAITS", "HitterBelief", "average", "believe", "learn"]

#: Hitters of a level differ more than professionals do (assumption; talent at the top is cut from
#: a narrow end): factor on what is assumed of every spread.
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
#: Newton steps at most, the longest of them, and one so short that all is at rest; prior spreads.
_STEPS: Final = 25
_LONGEST: Final = 2.0
_STILL: Final = 5e-4
#: How far what a switch-hitter shows from one side is his from the other (assumption): the
#: correlation of every trait between the two.
OTHER_SIDE_TELLS: Final = 0.5


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
    start : array (traits,)
        The mean before any pitch: what the marks say.
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
    start: Floats = field(default_factory=lambda: np.zeros(len(TRAITS)))

    def trait(self, name: str) -> tuple[float, float]:
        """Return mean and standard deviation of one trait."""
        i = INDEX[name]
        return float(self.mean[i]), float(np.sqrt(self.cov[i, i]))

    def says(self) -> tuple[str, ...]:
        """Return what sets him apart, how surely, and what cannot be known yet, as sentences."""
        sd = np.sqrt(np.diag(self.cov))
        return hitter_words.says(self.start, self.mean, sd, spread(self.level), self.pitches)


def average(level: str, *, name: str = "average hitter", bats: str = "R") -> HitterBelief:
    """Return the hitter of whom nothing is known: his level's habit, the whole prior spread."""
    league = leagues.load(level)
    none = np.zeros(len(TRAITS))
    return _belief(name, bats, league, none, np.diag(spread(level) ** 2), 0, (), none)


def spread(level: str) -> Floats:
    """Return the prior spread of each trait among a level's hitters, in the order of `TRAITS`.

    Professionals have what was found. Below them nothing open tells: hitters with a hole have not
    been sorted out, and differ as was assumed, widened, where professionals do not differ more.
    """
    if TALENT.get(level, 1.0) == 1.0:
        return prior_sd()
    return np.maximum(prior_sd(), assumed_sd() * TALENT[level])


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
        The pitches he saw, columns of the pitch log. Those from his other side inform only as far
        as the two sides are alike (`OTHER_SIDE_TELLS`).
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
    start, prior = mark_shifts(marks) * sd, np.diag(sd**2)
    if pitches is None or pitches.empty:
        return _belief(person.label, side, league, start, prior, 0, (), start)
    mean, notes = start, tuple[str, ...]()
    if from_side(pitches, OTHER_SIDE[side]).any():
        mean, prior, notes = _from_other_side(pitches, OTHER_SIDE[side], league, start, sd)
    data = seen(pitches, side, league)
    mean, cov = posterior(data, mean, prior, league.take_share)
    notes = (*data.notes, *notes, *_disagreements(start, mean, sd, cov, data.n))
    return _belief(person.label, side, league, mean, cov, data.n, notes, start)


def learn(belief: HitterBelief, pitches: "pd.DataFrame", league: League) -> HitterBelief:
    """Return the belief after some more pitches: today's, one by one, in about a millisecond.

    What is believed is the prior of what comes, so that pitches learnt one by one come to nearly
    what `believe` makes of all at once.

    Parameters
    ----------
    belief : HitterBelief
    pitches : DataFrame
        Pitches that are not behind the belief yet; those from his other side are left out.
    league : League
        The one the belief was made with.
    """
    data = seen(pitches, belief.bats, league)
    mean, cov = posterior(data, belief.mean, belief.cov, league.take_share)
    n, sd = belief.pitches + data.n, spread(league.level)
    kept = tuple(note for note in belief.notes if not note.startswith(hitter_words.BY_THE_MARKS))
    notes = (*kept, *_disagreements(belief.start, mean, sd, cov, n))
    return _belief(belief.name, belief.bats, league, mean, cov, n, notes, belief.start)


def _from_other_side(
    pitches: "pd.DataFrame", other: str, league: League, start: Floats, sd: Floats
) -> tuple[Floats, Floats, tuple[str, ...]]:
    """Return the prior, mean and covariance, that his pitches from the other side leave."""
    data = seen(pitches, other, league)
    mean, cov = posterior(data, start, sd, league.take_share)
    alike = OTHER_SIDE_TELLS
    left = (1.0 - alike**2) * np.diag(sd**2) + alike**2 * cov
    side = "right" if other == "R" else "left"
    notes = (f"{data.n} pitches he saw from the {side} side count for less.",) if data.n else ()
    return start + alike * (mean - start), left, notes


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


def posterior(
    data: Seen, start: Floats, spread: Floats, take: Floats, first: Floats | None = None
) -> tuple[Floats, Floats]:
    """Return mean and covariance of the traits given what was seen.

    Parameters
    ----------
    data : Seen
    start : array (traits,)
        Prior mean.
    spread : array (traits,) or (traits, traits)
        Prior standard deviations, or the whole prior covariance.
    take : array (4, 3)
        The league's habit of taking.
    first : array (traits,), optional
        Where to look first; the prior mean when not given.
    """
    precision = np.diag(spread**-2.0) if spread.ndim == 1 else np.linalg.inv(spread)
    sd = spread if spread.ndim == 1 else np.sqrt(np.diag(spread))
    mean = start if first is None else first
    for _ in range(_STEPS):
        gradient, information = data.scores(mean, take)
        curvature = precision + information
        move = np.linalg.solve(curvature, gradient - precision @ (mean - start))
        # No step longer than two prior spreads: far from the mode expected curvature misleads.
        longest = float(np.max(np.abs(move / sd)))
        mean = mean + move * min(1.0, _LONGEST / max(longest, 1e-12))
        if longest < _STILL:
            break
    return mean, np.asarray(np.linalg.inv(curvature), dtype=np.float64)


def habit_of(mean: Floats, take: Floats) -> Floats:
    """Return how often he takes by count: the league's habit moved by his traits."""
    return habit(mean, take)


def fast_belief_of(mean: Floats, fast: Floats) -> Floats:
    """Return the probability of a fast pitch he expects: moved most in hitter's counts."""
    return expit(logit(fast) + BELIEF_WEIGHT * mean[INDEX["fast_belief"]])


def _belief(
    name: str,
    bats: str,
    league: League,
    mean: Floats,
    cov: Floats,
    n: int,
    notes: tuple[str, ...],
    start: Floats,
) -> HitterBelief:
    protect = np.zeros((4, 3))
    protect[:, 2] = 1.0
    take = habit_of(mean, league.take_share)
    fast = fast_belief_of(mean, league.fast_share)
    return HitterBelief(name, bats, league.level, mean, cov, take, fast, protect, n, notes, start)


def _disagreements(start: Floats, mean: Floats, sd: Floats, cov: Floats, n: int) -> tuple[str, ...]:
    return hitter_words.disagreements(start, mean, np.sqrt(np.diag(cov)), sd, n)
