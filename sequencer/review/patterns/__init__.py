"""Kinds of habit a review looks for: one file each, and their list."""

from typing import Final

from sequencer.review.patterns import (
    advice,
    after_event,
    after_hit,
    after_result,
    bases,
    by_count,
    caller,
    catcher,
    day_to_day,
    first_pitch,
    height_by_type,
    hitter_side,
    inning,
    outs,
    pitch_number,
    previous,
    score,
    side_by_type,
    time_through,
    two_in_a_row,
    type_by_side,
)
from sequencer.review.question import Pattern

#: Every pattern, in the order a review tells them. A new one is a file and a line here.
PATTERNS: Final[tuple[Pattern, ...]] = (
    by_count.PATTERN,
    first_pitch.PATTERN,
    previous.PATTERN,
    two_in_a_row.PATTERN,
    after_result.PATTERN,
    after_event.PATTERN,
    after_hit.PATTERN,
    side_by_type.PATTERN,
    type_by_side.PATTERN,
    height_by_type.PATTERN,
    hitter_side.PATTERN,
    bases.PATTERN,
    outs.PATTERN,
    score.PATTERN,
    inning.PATTERN,
    time_through.PATTERN,
    pitch_number.PATTERN,
    catcher.PATTERN,
    caller.PATTERN,
    advice.PATTERN,
    day_to_day.PATTERN,
)
