import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom

from sequencer.review.exact import chance_found, exact_test, more_needed, smallest_share
from sequencer.review.statistics import fisher_exact

_CELLS = st.integers(0, 12)
_TABLE = st.tuples(st.tuples(_CELLS, _CELLS), st.tuples(_CELLS, _CELLS))


@given(_TABLE)
def test_one_stratum_is_fishers_test_and_turning_it_over_changes_nothing(
    table: tuple[tuple[int, int], tuple[int, int]],
) -> None:
    more, either, least = exact_test([table])
    assert (more, either) == pytest.approx(fisher_exact(table))
    assert 0 < least <= either + 1e-12 <= 1 + 1e-9
    assert exact_test([table[::-1]]).either == pytest.approx(either)
    assert exact_test([np.transpose(table)]).either == pytest.approx(either)


@given(st.lists(_TABLE, min_size=1, max_size=4))
def test_a_stratum_of_one_kind_only_adds_nothing(
    tables: list[tuple[tuple[int, int], tuple[int, int]]],
) -> None:
    alone = ((5, 3), (0, 0))
    assert exact_test([*tables, alone]) == pytest.approx(exact_test(tables))


def test_the_chance_to_find_a_difference_is_counted_table_by_table() -> None:
    level, share, other = 0.02, 0.7, 0.2
    found = 0.0
    for a in range(9):
        for b in range(15):
            more, _ = fisher_exact([[a, 8 - a], [b, 14 - b]])
            if more <= level / 2:
                found += binom.pmf(a, 8, share) * binom.pmf(b, 14, other)
    assert chance_found(8, 14, share, other, level) == pytest.approx(found)
    assert chance_found(8, 14, 1 - share, 1 - other, level) == pytest.approx(found)


def test_shares_of_none_and_all_are_found_and_nobody_watched_finds_nothing() -> None:
    assert chance_found(20, 20, 1.0, 0.0, 0.01) == pytest.approx(1.0)
    assert chance_found(0, 20, 1.0, 0.0, 0.01) == 0.0


def test_a_season_of_pitches_is_answered_as_five_hundred_of_each() -> None:
    of_a_season = chance_found(20_000, 90_000, 0.3, 0.2, 0.01)
    assert of_a_season == chance_found(500, 500, 0.3, 0.2, 0.01)
    assert of_a_season > 0.8


def test_more_watched_is_as_many_as_it_takes() -> None:
    more = more_needed(4, 30, 0.6, 0.1, 0.01)
    assert more is not None
    assert chance_found(4 + more, 30, 0.6, 0.1, 0.01) >= 0.8
    assert chance_found(4, 30, 0.6, 0.1, 0.01) < 0.8
    assert more_needed(60, 60, 0.9, 0.1, 0.01) == 0
    assert more_needed(4, 3, 0.6, 0.5, 0.001) is None


def test_the_smallest_share_found_is_found_and_a_smaller_is_not() -> None:
    share = smallest_share(12, 30, 0.05, 0.01)
    assert share is not None
    assert chance_found(12, 30, share, 0.05, 0.01) >= 0.8
    assert chance_found(12, 30, share - 0.01, 0.05, 0.01) < 0.8
    assert smallest_share(2, 3, 0.5, 0.01) is None
