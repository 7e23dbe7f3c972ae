"""Changing single rules of a rule set, in the words a coach or a file gives."""

from collections.abc import Callable, Mapping
from dataclasses import fields, replace
from types import MappingProxyType
from typing import Any, Final

from sequencer.baseball.count import STARTS, Count, parse
from sequencer.baseball.pitch_limits import LIMITS
from sequencer.baseball.rules.rule_set import CHOICES, RuleSet
from sequencer.errors import BadInput

EDITED: Final = "changed for this game"
_YES: Final = frozenset({"yes", "true", "1", "on"})
_NO: Final = frozenset({"no", "false", "0", "off"})
_NONE: Final = frozenset({"", "none", "no", "null"})

#: Smallest and largest value of each numbered rule (assumption: beyond these it is a slip).
_RANGES: Final = MappingProxyType(
    {
        "pitching_distance_ft": (30, 65),
        "base_distance_ft": (40, 100),
        "innings": (1, 9),
        "extra_hitters": (0, 20),
        "time_limit_minutes": (20, 300),
        "half_run_limit": (1, 30),
        "placed_runner_from_inning": (1, 30),
        "day_limit": (1, 200),
    }
)
_OPTIONAL: Final = frozenset(
    {"time_limit_minutes", "half_run_limit", "placed_runner_from_inning", "day_limit"}
)
_FLOATS: Final = frozenset({"pitching_distance_ft", "base_distance_ft"})
_FLAGS: Final = frozenset(
    {"dropped_third_strike", "lead_offs", "announced_walk", "absent_hitter_is_out"}
)


def edited(rules: RuleSet, edits: Mapping[str, Any]) -> RuleSet:
    """Return the rule set with single rules changed, each marked as changed in its sources.

    Parameters
    ----------
    rules : RuleSet
    edits : mapping of rule -> value
        Values as Python has them or as text: ``5``, ``"5"``, ``"none"``, ``"yes"``, ``"1-1"``,
        ``[[10, 5]]`` or ``"10 after 5; 15 after 3"``.

    Raises
    ------
    BadInput
        If a rule is unknown or a value does not fit it.
    """
    changes = {rule: _value(rule, value) for rule, value in edits.items()}
    sources = {**rules.sources, **dict.fromkeys(changes, EDITED)}
    return replace(rules, **changes, sources=sources) if changes else rules


def read_edits(text: str) -> dict[str, str]:
    """Read rule changes as said in one line: ``half_run_limit=5; run_rule=10 after 5; 15 after 3``.

    A part without ``=`` goes on with the rule before it.

    Raises
    ------
    BadInput
        If it names no rule, an unknown one, or a value that does not fit.
    """
    edits: dict[str, str] = {}
    rule = ""
    for part in filter(None, map(str.strip, text.split(";"))):
        name, equals, value = part.partition("=")
        if not equals and not rule:
            raise BadInput(f"'{part}' does not change a rule: write it as half_run_limit=5.")
        rule = name.strip().lower() if equals else rule
        edits[rule] = value.strip() if equals else f"{edits[rule]}; {part}"
    for name, said in edits.items():
        _value(name, said)
    return edits


def kept_edits(rules: RuleSet, edits: Mapping[str, Any]) -> dict[str, str]:
    """Return the edits that differ from the rule set's own values, as text that `edited` reads."""
    after = edited(rules, edits)
    return {
        rule: written(getattr(after, rule))
        for rule in edits
        if getattr(after, rule) != getattr(rules, rule)
    }


def written(value: Any) -> str:
    """Return a rule's value as text that `edited` reads: none, yes, 5, 1-1, 10 after 5."""
    match value:
        case bool():
            return "yes" if value else "no"
        case float():
            return f"{value:g}"
        case Count():
            return str(value)
        case tuple():
            return "; ".join(f"{lead} after {innings}" for lead, innings in value) or "none"
    return "none" if value in (None, "") else str(value)


def _value(rule: str, value: Any) -> Any:
    if rule in _RANGES:
        return _number(rule, value)
    if rule in _FLAGS:
        return _flag(rule, value)
    if rule in CHOICES:
        return _choice(rule, value, CHOICES[rule])
    if rule in _OTHERS:
        return _OTHERS[rule](rule, value)
    raise BadInput(f"'{rule}' is not a rule that can be changed: use one of {', '.join(EDITABLE)}.")


def _number(rule: str, value: Any) -> float | int | None:
    if rule in _OPTIONAL and (value is None or str(value).strip().lower() in _NONE):
        return None
    low, high = _RANGES[rule]
    try:
        number = float(value) if not isinstance(value, bool) else float("nan")
    except (TypeError, ValueError):
        number = float("nan")
    whole = rule in _FLOATS or number.is_integer()
    if not (low <= number <= high and whole):
        none = ", or none" if rule in _OPTIONAL else ""
        raise BadInput(f"The rule {rule} is a number from {low} to {high}{none}, not '{value}'.")
    return number if rule in _FLOATS else int(number)


def _flag(rule: str, value: Any) -> bool:
    word = str(value).strip().lower()
    if word in _YES:
        return True
    if word in _NO:
        return False
    raise BadInput(f"The rule {rule} is yes or no, not '{value}'.")


def _choice(rule: str, value: Any, words: tuple[str, ...]) -> str:
    if value not in words:
        raise BadInput(f"The rule {rule} is one of {', '.join(words)}; not '{value}'.")
    return str(value)


def _start_count(rule: str, value: Any) -> Count:
    words = str(value) if isinstance(value, str) else "-".join(map(str, _listed(value)))
    count = parse(words)
    if count not in STARTS:
        raise BadInput(f"The rule {rule} is 0-0 or 1-1, not '{value}'.")
    return count


def _listed(value: Any) -> tuple[Any, ...]:
    return tuple(value) if isinstance(value, list | tuple) else (value,)


def _run_rule(rule: str, value: Any) -> tuple[tuple[int, int], ...]:
    try:
        pairs = _pairs_of_text(value) if isinstance(value, str) else tuple(value or ())
        table = tuple((int(lead), int(innings)) for lead, innings in pairs)
    except (TypeError, ValueError):
        table = ((0, 0),)
    if any(lead < 1 or innings < 1 for lead, innings in table):
        raise BadInput(
            f"The rule {rule} is a lead and complete innings, such as '10 after 5; 15 after 3', "
            f"not '{value}'."
        )
    return table


def _pairs_of_text(text: str) -> tuple[list[str], ...]:
    if text.strip().lower() in _NONE:
        return ()
    return tuple(part.split("after") for part in text.split(";"))


def _pitch_limit(rule: str, value: Any) -> str:
    if value is None or str(value).strip().lower() in _NONE:
        return ""
    return _choice(rule, value, tuple(LIMITS))


_OTHERS: Final[Mapping[str, Callable[[str, Any], Any]]] = MappingProxyType(
    {"start_count": _start_count, "run_rule": _run_rule, "pitch_limit": _pitch_limit}
)
#: Every rule that can be changed, in the order of the rule set.
EDITABLE: Final = tuple(
    field.name for field in fields(RuleSet) if field.name not in {"name", "says", "sources"}
)
