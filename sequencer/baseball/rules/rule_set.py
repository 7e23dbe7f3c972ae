"""The shape of a rule set: what a league decides about one game, apart from the level."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Final

from sequencer.baseball.count import START, Count

PRACTICE: Final = "common practice, no source; check your league"
OFFICIAL: Final = "Official Baseball Rules"

#: The words a rule may take; every other rule is a number, a yes or no, or a table.
CHOICES: Final = MappingProxyType(
    {
        "order": (
            "nine",
            "nine with a hitter for a player",
            "extra hitters",
            "everyone bats",
        ),
        "re_entry": ("none", "starters once", "free"),
        "courtesy_runner": ("none", "pitcher and catcher", "last out"),
        "balks": ("called", "warned first", "not called"),
        "inherited_count": ("official", "who ends it"),
        "electronic_advice": ("allowed", "no", "ask"),
    }
)


@dataclass(frozen=True, slots=True)
class RuleSet:
    """The rules of one game.

    Attributes
    ----------
    name, says : str
        A neutral name, and one line on who plays by it. Baseball only; softball is not modelled.
    pitching_distance_ft, base_distance_ft : float
    innings : int
    time_limit_minutes : int or None
        No new inning after so many minutes.
    run_rule : tuple of (lead, innings)
        The game is over with this lead once so many innings are complete.
    half_run_limit : int or None
        Runs a side may score in one half; the half ends there without three outs.
    order : str
        Who bats; `extra_hitters` counts those beyond nine.
    re_entry : str
        Who may come back after a substitution.
    courtesy_runner : str
        For whom a runner may be put in who is not a substitute.
    placed_runner_from_inning : int or None
        From this inning each half begins with a runner on second.
    dropped_third_strike, lead_offs, announced_walk : bool
        Whether a dropped third strike lets the hitter run, runners may leave before the pitch
        arrives, and a walk may be announced without pitches.
    balks : str
    start_count : Count
        The count an at-bat begins with, 0-0 or 1-1.
    absent_hitter_is_out : bool
    inherited_count : str
        official: as `charged_to` has it; who ends it: the hitter and pitcher who finish.
    pitch_limit : str
        A table of `pitch_limits.LIMITS`, or empty for none.
    day_limit : int or None
        A day's limit of the league's own, in place of the table's.
    electronic_advice : str
        Whether a device may advise in the dugout: allowed, no, or ask the umpire.
    sources : mapping of rule -> source
    """

    name: str
    says: str
    pitching_distance_ft: float
    base_distance_ft: float
    innings: int
    time_limit_minutes: int | None = None
    run_rule: tuple[tuple[int, int], ...] = ()
    half_run_limit: int | None = None
    order: str = "nine"
    extra_hitters: int = 0
    re_entry: str = "none"
    courtesy_runner: str = "none"
    placed_runner_from_inning: int | None = None
    dropped_third_strike: bool = True
    lead_offs: bool = True
    balks: str = "called"
    announced_walk: bool = True
    start_count: Count = START
    absent_hitter_is_out: bool = True
    inherited_count: str = "official"
    pitch_limit: str = ""
    day_limit: int | None = None
    electronic_advice: str = "ask"
    sources: Mapping[str, str] = field(default_factory=dict, hash=False)

    def source(self, rule: str) -> str:
        """Return where a rule's value comes from."""
        return self.sources.get(rule, PRACTICE)
