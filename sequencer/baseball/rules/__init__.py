"""Rule sets: one file each, and RULES, which lists them. They are starting points to be edited.

Baseball only; softball is not modelled.
"""

from types import MappingProxyType
from typing import Final

from sequencer.baseball.rules.charging import Charged, Stint, charged_to
from sequencer.baseball.rules.college import COLLEGE
from sequencer.baseball.rules.edit import EDITABLE, edited, kept_edits, read_edits, written
from sequencer.baseball.rules.high_school import HIGH_SCHOOL
from sequencer.baseball.rules.junior_54 import JUNIOR_54
from sequencer.baseball.rules.over import game_over, half_over, placed_runner
from sequencer.baseball.rules.pro import PRO
from sequencer.baseball.rules.rule_set import CHOICES, RuleSet
from sequencer.baseball.rules.scrimmage import SCRIMMAGE
from sequencer.baseball.rules.youth_46 import YOUTH_46
from sequencer.baseball.rules.youth_46_young import YOUTH_46_YOUNG
from sequencer.baseball.rules.youth_50 import YOUTH_50
from sequencer.errors import BadInput

RULES: Final = MappingProxyType(
    {
        rules.name: rules
        for rules in (
            YOUTH_46_YOUNG,
            YOUTH_46,
            YOUTH_50,
            JUNIOR_54,
            HIGH_SCHOOL,
            COLLEGE,
            PRO,
            SCRIMMAGE,
        )
    }
)
#: The rule set of a game that does not say.
DEFAULT_RULES: Final = "high-school"


def rule_set(name: str) -> RuleSet:
    """Return a rule set by name; an empty name is the default.

    Raises
    ------
    BadInput
        If there is no such rule set.
    """
    found = RULES.get(name or DEFAULT_RULES)
    if found is None:
        raise BadInput(f"'{name}' is not a rule set: use one of {', '.join(RULES)}.")
    return found


__all__ = [
    "CHOICES",
    "DEFAULT_RULES",
    "EDITABLE",
    "RULES",
    "Charged",
    "RuleSet",
    "Stint",
    "charged_to",
    "edited",
    "game_over",
    "half_over",
    "kept_edits",
    "placed_runner",
    "read_edits",
    "rule_set",
    "written",
]
