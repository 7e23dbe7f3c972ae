"""Junior, 54 feet: between the small field and the full one, ages 13 and 14."""

from typing import Final

from sequencer.baseball.rules.rule_set import RuleSet

_DIVISIONS: Final = "a national programme's 13-14 division, from memory; check your league"

JUNIOR_54: Final = RuleSet(
    name="junior-54",
    says="ages 13 and 14, between the small field and the full one",
    pitching_distance_ft=54.0,
    base_distance_ft=80.0,
    innings=7,
    run_rule=((15, 4), (10, 5)),
    order="extra hitters",
    extra_hitters=1,
    re_entry="starters once",
    courtesy_runner="pitcher and catcher",
    balks="warned first",
    pitch_limit="Pitch Smart",
    electronic_advice="ask",
    sources={
        "pitching_distance_ft": _DIVISIONS,
        "base_distance_ft": _DIVISIONS,
        "pitch_limit": "Pitch Smart, MLB and USA Baseball; see the table",
    },
)
