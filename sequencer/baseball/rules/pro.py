"""Professional: the official rules as written."""

from typing import Final

from sequencer.baseball.rules.rule_set import OFFICIAL, RuleSet

PRO: Final = RuleSet(
    name="pro",
    says="the official rules: full field, nine innings, a runner on second from the tenth",
    pitching_distance_ft=60.5,
    base_distance_ft=90.0,
    innings=9,
    order="nine with a hitter for a player",
    placed_runner_from_inning=10,
    electronic_advice="no",
    sources={
        "pitching_distance_ft": f"{OFFICIAL} 2.01: 60 feet 6 inches",
        "base_distance_ft": f"{OFFICIAL} 2.01: 90 feet",
        "innings": f"{OFFICIAL} 7.01",
        "order": f"{OFFICIAL} 5.11",
        "re_entry": f"{OFFICIAL} 5.10",
        "dropped_third_strike": f"{OFFICIAL} 5.05(a)(2)",
        "balks": f"{OFFICIAL} 6.02(a)",
        "inherited_count": f"{OFFICIAL} 9.15(b) and 9.16(h), from memory",
        "placed_runner_from_inning": f"{OFFICIAL} 7.01(b), from memory",
    },
)
