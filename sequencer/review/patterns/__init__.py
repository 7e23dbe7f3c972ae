"""Kinds of habit a review looks for: one file each, and their list."""

from typing import Final

from sequencer.review.patterns import (
    bases,
    by_count,
    caller,
    catcher,
    first_pitch,
    height_by_type,
    hitter_side,
    outs,
    previous,
    side_by_type,
    time_through,
    type_by_side,
)
from sequencer.review.question import Pattern

#: Every pattern, in the order a review tells them. A new one is a file and a line here.
PATTERNS: Final[tuple[Pattern, ...]] = (
    by_count.PATTERN,
    first_pitch.PATTERN,
    previous.PATTERN,
    side_by_type.PATTERN,
    type_by_side.PATTERN,
    height_by_type.PATTERN,
    hitter_side.PATTERN,
    bases.PATTERN,
    outs.PATTERN,
    time_through.PATTERN,
    catcher.PATTERN,
    caller.PATTERN,
)
