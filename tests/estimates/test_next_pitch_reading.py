"""A reading carried pitch by pitch says what reading all pitches at once says."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sequencer.estimates.next_pitch import Seen, forward
from sequencer.estimates.reading import Reading
from tests.estimates.readers_open import any_log


def now(seen: Seen, at: int) -> dict[str, int]:
    return {name: int(column[at]) for name, column in seen.columns.items()}


@given(st.integers(0, 60), st.integers(1, 40), st.integers(0, 10))
@settings(max_examples=25, deadline=None)
def test_every_mind_goes_on_from_the_past_as_if_it_had_read_all(
    past: int, tonight: int, seed: int
) -> None:
    seen = any_log(past + tonight, seed=seed)
    found = forward(seen)
    reading = Reading.of(seen.only(np.arange(past)))
    for i in range(past, past + tonight):
        expected = reading.expect(now(seen, i))
        assert expected.reader == pytest.approx(found.reader[i])
        assert expected.blind == pytest.approx(found.blind[i])
        assert expected.constant == pytest.approx(found.constant[i])
        for mine, (_name, theirs) in zip(expected.minds, found.minds.items(), strict=True):
            assert mine == pytest.approx(theirs[i])
        reading = reading.after(now(seen, i), int(seen.label[i]))


def test_a_reading_stays_what_it_was_when_another_comes_after_it() -> None:
    seen = any_log(50)
    reading = Reading.of(seen)
    before = reading.expect(now(seen, 7))
    later = reading.after(now(seen, 7), 2)
    assert reading.expect(now(seen, 7)) == before
    assert later.expect(now(seen, 7)).reader[2] > before.reader[2]


def test_columns_a_log_lacks_are_passed_over_as_in_the_whole() -> None:
    seen = any_log(80)
    bare = Seen(seen.label, 5, {"count": seen.columns["count"]}, seen.group)
    reading = Reading.of(bare.only(np.arange(79)))
    assert reading.expect(now(seen, 79)).reader == pytest.approx(forward(bare).reader[79])
