"""High school: the full field, seven innings, a state's own pitch limits."""

from typing import Final

from sequencer.baseball.rules.rule_set import OFFICIAL, RuleSet

HIGH_SCHOOL: Final = RuleSet(
    name="high-school",
    says="full field, seven innings; pitch limits are each state's own",
    pitching_distance_ft=60.5,
    base_distance_ft=90.0,
    innings=7,
    run_rule=((10, 5),),
    order="nine with a hitter for a player",
    re_entry="starters once",
    courtesy_runner="pitcher and catcher",
    pitch_limit="Pitch Smart",
    electronic_advice="ask",
    sources={
        "pitching_distance_ft": f"{OFFICIAL} 2.01: 60 feet 6 inches",
        "base_distance_ft": f"{OFFICIAL} 2.01: 90 feet",
        "pitch_limit": "Pitch Smart, MLB and USA Baseball; the national rule (2017) leaves the "
        "figures to each state: choose yours",
    },
)
