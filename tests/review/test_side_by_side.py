"""Work in several processes comes to the same as work done one after another."""

import os

import numpy as np
import pandas as pd
import pytest
from numpy.typing import NDArray

from sequencer.errors import BadInput
from sequencer.estimates.next_pitch import Seen
from sequencer.review.review import review
from sequencer.review.side_by_side import work_through
from tests.review import simulate


@pytest.mark.parametrize("workers", [1, 2, 3])
def test_all_is_done_once_and_in_order(workers: int) -> None:
    start = 5
    assert work_through(lambda item: start + item, range(40), workers) == [*range(5, 45)]
    assert work_through(lambda item: start + item, [], workers) == []


def test_processes_differ_where_there_are_several() -> None:
    here = os.getpid()
    assert set(work_through(lambda _: os.getpid(), range(4), 1)) == {here}
    assert here not in work_through(lambda _: os.getpid(), range(4), 2)


def test_an_error_in_words_comes_back() -> None:
    def refuse(item: int) -> None:
        raise BadInput(f"{item} cannot be.")

    with pytest.raises(BadInput, match="1 cannot be"):
        work_through(refuse, [1, 2], 2)


def test_a_review_is_the_same_in_several_processes() -> None:
    frame = pd.concat(
        [simulate.log(120, seed=seed, pitcher=f"Arm {seed}") for seed in range(3)],
        ignore_index=True,
    )
    assert review(frame, workers=2).as_json() == review(frame).as_json()


def test_further_minds_read_pitchers_alone() -> None:
    frame = simulate.log(150, seed=2)
    sizes = []

    def even(own: Seen) -> NDArray[np.float64]:
        sizes.append(len(own))
        return np.full((len(own), own.labels), 1 / own.labels)

    review(frame, outsiders={"even": even})
    assert sizes == [150]
