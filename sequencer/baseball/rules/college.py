"""College: the full field, nine innings."""

from typing import Final

from sequencer.baseball.rules.rule_set import OFFICIAL, RuleSet

COLLEGE: Final = RuleSet(
    name="college",
    says="full field, nine innings",
    pitching_distance_ft=60.5,
    base_distance_ft=90.0,
    innings=9,
    run_rule=((10, 7),),
    order="nine with a hitter for a player",
    electronic_advice="ask",
    sources={
        "pitching_distance_ft": f"{OFFICIAL} 2.01: 60 feet 6 inches",
        "base_distance_ft": f"{OFFICIAL} 2.01: 90 feet",
    },
)
