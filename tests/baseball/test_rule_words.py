"""Rule changes as words: read from a line, written so that they read back."""

import pytest

from sequencer.baseball.rules import EDITABLE, RULES, edited, kept_edits, read_edits, written
from sequencer.errors import BadInput


def test_changes_are_read_from_one_line_with_semicolons_inside_a_rule_too() -> None:
    assert read_edits(" half_run_limit = 5; Run_Rule=10 after 5; 15 after 3 ;; lead_offs=no") == {
        "half_run_limit": "5",
        "run_rule": "10 after 5; 15 after 3",
        "lead_offs": "no",
    }
    assert read_edits("") == {}


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("five", "'five' does not change a rule"),
        ("half_runs=5", "'half_runs' is not a rule that can be changed"),
        ("half_run_limit=many", "from 1 to 30, or none, not 'many'"),
        ("innings=6; nine", "not '6; nine'"),
    ],
)
def test_a_line_that_changes_no_rule_is_refused(line: str, says: str) -> None:
    with pytest.raises(BadInput) as refused:
        read_edits(line)
    assert says in str(refused.value)


@pytest.mark.parametrize("name", RULES)
@pytest.mark.parametrize("rule", EDITABLE)
def test_every_rule_is_written_as_it_is_read(name: str, rule: str) -> None:
    for rules in RULES.values():
        value = getattr(rules, rule)
        assert getattr(edited(RULES[name], {rule: written(value)}), rule) == value


def test_only_what_differs_from_the_rule_set_is_kept() -> None:
    rules = RULES["high-school"]
    edits = {"innings": 7, "half_run_limit": "5", "lead_offs": False, "start_count": [1, 1]}
    kept = kept_edits(rules, edits)
    assert kept == {"half_run_limit": "5", "lead_offs": "no", "start_count": "1-1"}
    for rule in EDITABLE:
        assert getattr(edited(rules, kept), rule) == getattr(edited(rules, edits), rule)
