"""Scrimmage: practice among ourselves, short counts, everyone bats, anyone comes back."""

from typing import Final

from sequencer.baseball.count import Count
from sequencer.baseball.rules.rule_set import RuleSet

SCRIMMAGE: Final = RuleSet(
    name="scrimmage",
    says="practice game: at-bats begin 1-1, five runs end a half, everyone bats",
    pitching_distance_ft=60.5,
    base_distance_ft=90.0,
    innings=5,
    time_limit_minutes=120,
    half_run_limit=5,
    order="everyone bats",
    re_entry="free",
    courtesy_runner="last out",
    start_count=Count(1, 1),
    absent_hitter_is_out=False,
    inherited_count="who ends it",
    pitch_limit="Pitch Smart",
    electronic_advice="allowed",
)
