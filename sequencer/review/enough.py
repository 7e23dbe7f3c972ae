"""How much is enough: pitches a question still needs before a habit of a given size is found."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import ceil
from typing import Final

import numpy as np

from sequencer.review.coded import Coded
from sequencer.review.findings import Finding
from sequencer.review.says import condition

#: The habit talked of, in points of share: one that a hitter can use. Assumption.
TALKED_OF: Final = 25.0


@dataclass(frozen=True)
class Needed:
    """What a question that found nothing could have found, and what it still needs.

    Attributes
    ----------
    pattern, question : str
    where : mapping
        The condition the pitches are counted under.
    points : float
        Points of share a habit would need to be found now.
    more : int
        Pitches under the condition still wanted for one of `TALKED_OF` points; 0 when there are
        enough.
    pitches : str
        Which pitches these are, in words; "" where there can be no more, a game being over.
    """

    pattern: str
    question: str
    where: Mapping[str, object]
    points: float
    more: int
    pitches: str

    @property
    def says(self) -> str:
        """Return a sentence."""
        could = f"Could have found {self.points:.0f} points or more"
        if not self.more or not self.pitches:
            return f"{could}."
        return f"{could}; {TALKED_OF:.0f} needs about {self.more} more {self.pitches}."

    def as_json(self) -> dict[str, object]:
        """Return plain values."""
        return {
            "pattern": self.pattern,
            "where": dict(self.where),
            "points": round(self.points, 1),
            "more_for_25_points": self.more,
            "says": self.says,
        }


def pitches_needed(
    points: float,
    condition_share: float = 0.2,
    *,
    base: float = 0.25,
    level: float = 0.05 / 12,
    power: float = 0.8,
) -> float:
    """Return how many pitches find a habit of so many points: `smallest_found` the other way.

    Parameters
    ----------
    points : float
        Points of share over `base`, at most 100 less it.
    condition_share : float
        Share of the pitches that meet the condition.
    base, level, power
        As for `statistics.smallest_found`.
    """
    from scipy.special import ndtri

    habit, inside = points / 100, condition_share
    pooled, share = base + habit * inside, base + habit
    by_chance = pooled * (1 - pooled) * (1 / inside + 1 / (1 - inside))
    with_habit = share * (1 - share) / inside + base * (1 - base) / (1 - inside)
    root = -ndtri(level) * np.sqrt(by_chance) + ndtri(power) * np.sqrt(with_habit)
    return float((root / habit) ** 2)


def needed(
    findings: Iterable[Finding], log: Coded, could_find: Mapping[str, float], *, staff: bool = False
) -> tuple[Needed, ...]:
    """Return, for each question answered with nothing found, what it could and what it needs.

    Parameters
    ----------
    findings : iterable of Finding
    log : Coded
        The log they are of.
    could_find : mapping
        Pattern id -> points of share a habit would need to be found.
    """
    quiet = [
        each
        for each in findings
        if not each.flagged and not each.why_not and each.pattern.id in could_find
    ]
    return tuple(_needed(each, log, could_find[each.pattern.id], staff) for each in quiet)


def _needed(finding: Finding, log: Coded, points: float, staff: bool) -> Needed:
    pattern = finding.pattern
    asked = (pattern.classes(log) >= 0) & (log.label(pattern.label) >= 0)
    return Needed(
        pattern=pattern.id,
        question=pattern.question,
        where=dict(finding.contrast.condition.where),
        points=points,
        more=_more(finding.pitches, int(asked.sum()), points),
        pitches="" if finding.pattern.of_days else _pitches(finding, staff),
    )


def _more(inside: int, asked: int, points: float) -> int:
    """Return pitches under the condition still wanted.

    What could be found now says how many pitches the question is worth, which is fewer than were
    asked about where whole games are compared.
    """
    if round(points) <= TALKED_OF or not 0 < inside < asked:
        return 0
    share = inside / asked
    worth = min(asked, pitches_needed(points, share))
    return _round_up(inside * (pitches_needed(TALKED_OF, share) / worth - 1))


def _round_up(number: float) -> int:
    """Return a number as a coach would say it: fives below a hundred, tens above."""
    step = 5 if number < 100 else 10
    return step * ceil(max(number, 0.0) / step)


def _pitches(finding: Finding, staff: bool) -> str:
    phrase = condition(finding, staff=staff)
    if phrase == "On the first pitch":
        return "first pitches"
    return f"pitches {phrase[0].lower()}{phrase[1:]}"
