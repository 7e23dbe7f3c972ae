"""A rule set as lines of text: every rule that a game may change, its value, its source."""

import textwrap
from typing import Final

from sequencer.baseball.pitch_limits import LIMITS
from sequencer.baseball.rules import CHOICES, EDITABLE, RULES, RuleSet, written

_WIDTH: Final = 80
_WORDS: Final = {**CHOICES, "pitch_limit": ("none", *LIMITS)}


def rules_text(rules: RuleSet) -> str:
    """Return every rule as `name=value`, and under it the words it may take and its source."""
    lines = [f"{rules.name}: {rules.says}.", ""]
    for rule in EDITABLE:
        lines.append(f"{rule}={written(getattr(rules, rule))}")
        if rule in _WORDS:
            lines += _wrapped(f"one of: {', '.join(_WORDS[rule])}")
        lines += _wrapped(rules.source(rule))
    lines += ["", *_wrapped(f"Rule sets: {', '.join(RULES)}.", "")]
    return "\n".join(lines)


def _wrapped(text: str, margin: str = "    ") -> list[str]:
    return textwrap.wrap(text, _WIDTH, initial_indent=margin, subsequent_indent=margin)
