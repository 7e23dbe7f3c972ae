"""What a review comes to, as values that every page reads."""

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from sequencer.review.asked import Asked
from sequencer.review.enough import Needed
from sequencer.review.findings import Finding
from sequencer.review.fixes import Fix
from sequencer.review.follow_up import FollowUp
from sequencer.review.mixes import Mixed, sit_on
from sequencer.review.reader import Reader
from sequencer.review.says import sentence
from sequencer.review.tells import PitcherTells
from sequencer.review.turning_points import TurningPoint
from sequencer.review.worth import Worth

Plain = dict[str, object]
Of = Literal["pitcher", "caller", "catcher"]
Kind = Literal["costs runs", "asked for", "cost not known"]


@dataclass(frozen=True)
class Habit:
    """A habit that was found, and what to make of it.

    Attributes
    ----------
    finding : Finding
    cost : Worth or None
        What a hitter would gain who knows just this; None where no solved game stands behind it.
    fix : Fix or None
        What to practise; None where the plan asks for the habit, or there is nothing else to throw.
    """

    finding: Finding
    cost: Worth | None = None
    fix: Fix | None = None

    @property
    def kind(self) -> Kind:
        """What it comes to: told to cost runs only where that cannot be chance."""
        if self.finding.right:
            return "asked for"
        return "costs runs" if self.cost and self.cost.surely else "cost not known"

    @property
    def runs(self) -> float:
        """Runs per 100 of all his pitches that it surely costs; 0 where that is not known."""
        if self.kind != "costs runs" or self.cost is None:
            return 0.0
        return self.cost.runs_per_100 or 0.0


@dataclass(frozen=True)
class Reviewed:
    """What could be read in one pitcher's pitches, one caller's calls or one catcher's games.

    Attributes
    ----------
    name : str
    pitches, games : int
    findings : tuple of Finding
        Every question asked, flagged or not.
    could_find : dict
        Pattern id -> points of share a habit would need to be found.
    reader, worth
    habits : tuple of Habit
        The findings flagged, each habit once, the costliest first.
    needed : tuple of Needed
        What questions that found nothing could have found.
    follow_up : tuple of FollowUp
    asked : Asked or None
    mixes : tuple of Mixed
        What he usually throws; of their pitchers only.
    notes : tuple of str
        What to know before reading on: too few pitches, one game, calls or throws.
    of : {"pitcher", "caller", "catcher"}
    """

    name: str
    pitches: int
    games: int
    findings: tuple[Finding, ...]
    could_find: Mapping[str, float]
    reader: Reader
    worth: Worth
    habits: tuple[Habit, ...]
    needed: tuple[Needed, ...]
    follow_up: tuple[FollowUp, ...]
    asked: Asked | None
    mixes: tuple[Mixed, ...]
    notes: tuple[str, ...]
    of: Of = "pitcher"

    @property
    def staff(self) -> bool:
        """True where the pitches are of several pitchers."""
        return self.of != "pitcher"

    @property
    def fixes(self) -> tuple[Fix, ...]:
        """What to practise, the costliest habit first."""
        return tuple(each.fix for each in self.habits if each.fix)

    def as_json(self) -> Plain:
        """Return plain values under the names of `review --json`."""
        habits = {id(each.finding): each for each in self.habits}

        def told(of_days: bool) -> list[Plain]:
            return [
                pattern_json(each, habits.get(id(each)), staff=self.staff)
                for each in self.findings
                if each.pattern.of_days == of_days
            ]

        return {
            self.of: self.name,
            "pitches": self.pitches,
            "games": self.games,
            "patterns": told(False),
            "days": told(True),
            "could_find": {name: round(points, 1) for name, points in self.could_find.items()},
            "needed": [each.as_json() for each in self.needed],
            "follow_up": [each.as_json() for each in self.follow_up],
            "reader": dataclasses.asdict(self.reader),
            "worth": dataclasses.asdict(self.worth),
            "asked": self.asked.as_json() if self.asked else None,
            "fixes": [dataclasses.asdict(each) for each in self.fixes],
            "notes": list(self.notes),
            **(self._of_theirs() if self.mixes else {}),
        }

    def _of_theirs(self) -> Plain:
        return {
            "mixes": [each.as_json() for each in self.mixes],
            "look_for": list(sit_on(self.mixes, self.findings)),
        }


@dataclass(frozen=True)
class Review:
    """A review of a log.

    Attributes
    ----------
    pitches : int
    pitchers, callers, catchers : tuple of Reviewed
    tells : tuple of PitcherTells
        What was watched of each pitcher's tells.
    turning_points : tuple of TurningPoint
        The at-bats that cost runs, in the order of play.
    ledger : tuple of dict
        As `ledger.totals` has it.
    by_plan : bool
        Whether the ledger holds calls against plans.
    says : str
        A sentence when there was nothing to review.
    """

    pitches: int
    pitchers: tuple[Reviewed, ...] = ()
    callers: tuple[Reviewed, ...] = ()
    catchers: tuple[Reviewed, ...] = ()
    tells: tuple[PitcherTells, ...] = ()
    turning_points: tuple[TurningPoint, ...] = ()
    ledger: tuple[Plain, ...] = ()
    by_plan: bool = False
    says: str = ""

    def as_json(self) -> Plain:
        """Return plain values under the names of `review --json`."""
        return {
            "pitches": self.pitches,
            "pitchers": [each.as_json() for each in self.pitchers],
            "callers": [each.as_json() for each in self.callers],
            "catchers": [each.as_json() for each in self.catchers],
            "tells": [each.as_json() for each in self.tells],
            "turning_points": [each.as_json() for each in self.turning_points],
            "ledger": list(self.ledger),
            "says": self.says,
        }


def pattern_json(finding: Finding, habit: Habit | None = None, *, staff: bool = False) -> Plain:
    """Return one finding, and what it costs where it is a habit, as plain values."""
    cost = habit.cost if habit else None
    return {
        "pattern": finding.pattern.id,
        "where": dict(finding.contrast.condition.where),
        "what": dict(finding.contrast.what),
        "says": sentence(finding, staff=staff),
        "pitches": finding.pitches,
        "share": finding.share,
        "expected_share": finding.expected_share,
        "guess_gain_per_100": finding.gain,
        "interval": list(finding.interval),
        "p": finding.p,
        "q": finding.q,
        "flagged": finding.flagged,
        "right": finding.right,
        "bits": finding.bits,
        "same_as": finding.same_as,
        "why_not": finding.why_not,
        "kind": habit.kind if habit else "",
        "runs_per_100": cost.runs_per_100 if cost else None,
        "runs_interval": list(cost.interval) if cost and cost.interval else None,
    }
