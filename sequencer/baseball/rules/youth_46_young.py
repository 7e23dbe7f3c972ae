"""Youth, 46 feet, the younger group: ages 9 and 10, a third strike is an out, five runs a half."""

from dataclasses import replace
from typing import Final

from sequencer.baseball.rules.rule_set import RuleSet
from sequencer.baseball.rules.youth_46 import YOUTH_46

YOUTH_46_YOUNG: Final[RuleSet] = replace(
    YOUTH_46,
    name="youth-46-young",
    says="small field, ages 9 and 10: five runs a half, a dropped third strike is an out",
    half_run_limit=5,
    dropped_third_strike=False,
    time_limit_minutes=105,
)
