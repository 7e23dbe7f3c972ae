"""Youth, 46 feet: the common small field of ages 9 to 12."""

from typing import Final

from sequencer.baseball.rules.rule_set import PRACTICE, RuleSet

_DIVISIONS: Final = "published divisions of national youth programmes, ages 9-12"

YOUTH_46: Final = RuleSet(
    name="youth-46",
    says="small field, ages 9 to 12: no lead-offs, everyone bats",
    pitching_distance_ft=46.0,
    base_distance_ft=60.0,
    innings=6,
    time_limit_minutes=None,
    run_rule=((15, 3), (10, 4)),
    half_run_limit=None,
    order="everyone bats",
    re_entry="free",
    courtesy_runner="none",
    placed_runner_from_inning=None,
    dropped_third_strike=True,
    lead_offs=False,
    balks="not called",
    announced_walk=True,
    absent_hitter_is_out=False,
    inherited_count="official",
    pitch_limit="youth regulation",
    electronic_advice="no",
    sources={
        "pitching_distance_ft": _DIVISIONS,
        "base_distance_ft": _DIVISIONS,
        "pitch_limit": "league copies of a national youth pitching regulation; see the table",
        "electronic_advice": PRACTICE,
    },
)
