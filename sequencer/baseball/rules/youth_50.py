"""Youth, 50 feet: the middle field, where runners may lead off."""

from typing import Final

from sequencer.baseball.rules.rule_set import RuleSet

_DIVISIONS: Final = "published divisions of national youth programmes, 50 and 70 feet, ages 11-13"

YOUTH_50: Final = RuleSet(
    name="youth-50",
    says="middle field, ages 11 to 13: lead-offs, a warning before a balk",
    pitching_distance_ft=50.0,
    base_distance_ft=70.0,
    innings=6,
    run_rule=((15, 4), (10, 5)),
    order="everyone bats",
    re_entry="free",
    courtesy_runner="pitcher and catcher",
    balks="warned first",
    absent_hitter_is_out=False,
    pitch_limit="youth regulation",
    electronic_advice="no",
    sources={
        "pitching_distance_ft": _DIVISIONS,
        "base_distance_ft": _DIVISIONS,
        "pitch_limit": "league copies of a national youth pitching regulation; see the table",
    },
)
