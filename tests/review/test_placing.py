"""Columns are read as words, whatever holds them, and places as one by one they would be."""

import datetime as dt
from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sequencer.baseball.levels import DEFAULT_LEVEL, LEVELS
from sequencer.baseball.zone import Zone, cell_of, to_hitter
from sequencer.errors import BadInput
from sequencer.review.placing import Spelled, cells, spelled, texts

WORDS = st.sampled_from(["", "in", "away", "off-in", "Ames", "Boyd"])
COLUMNS = st.lists(WORDS, max_size=30)


@pytest.mark.parametrize(
    ("values", "dtype"),
    [
        (["a", None, "b", "a", ""], "object"),
        (["a", None, "b", "a", ""], "category"),
        (["a", None, "b", "a", ""], pd.StringDtype("python", na_value=np.nan)),
        ([1, 2, 1, 0], "int64"),
        ([1.0, np.nan, 2.5], "float64"),
        ([1, 2, None], "Int64"),
        ([True, False, True], "bool"),
        ([1, True, "1", 1.0, None, 0, False, ""], "object"),
        ([dt.date(2026, 4, 1), None, dt.date(2026, 4, 1)], "object"),
        ([dt.datetime(2026, 4, 1), None, dt.datetime(2026, 4, 2)], "datetime64[ns]"),
        ([2, 1, 2], "category"),
        ([], "object"),
    ],
)
def test_a_column_is_read_as_each_of_its_values_is_written(values: list[Any], dtype: Any) -> None:
    frame = pd.DataFrame({"it": pd.Series(values, dtype=dtype)})
    whole = frame["it"].astype(object)
    written = [
        "" if empty else str(value) for value, empty in zip(whole, whole.isna(), strict=True)
    ]
    assert texts(frame, "it").tolist() == written
    assert texts(frame, "not there").tolist() == [""] * len(values)


def of(words: list[str]) -> Spelled:
    return spelled(pd.DataFrame({"it": pd.Series(words, dtype=object)}), "it")


@given(st.lists(st.tuples(WORDS, WORDS, st.booleans()), max_size=30))
def test_whole_columns_are_changed_as_word_by_word(rows: list[tuple[str, str, bool]]) -> None:
    first, second = [row[0] for row in rows], [row[1] for row in rows]
    out = np.array([row[2] for row in rows], dtype=np.bool_)
    one, other = of(first), of(second)
    assert one.then(other).each().tolist() == [f"{a}\n{b}" for a, b, _ in rows]
    assert one.otherwise(other).each().tolist() == [a or b for a, b, _ in rows]
    assert one.blank(out).each().tolist() == ["" if c else a for a, _, c in rows]
    assert one.isin(["in", "Ames"]).tolist() == [a in ("in", "Ames") for a in first]
    assert one.placed({"in": 0, "Boyd": 5}).tolist() == [
        {"in": 0, "Boyd": 5}.get(a, -1) for a in first
    ]
    assert one.only(out).each().tolist() == [a for a, _, c in rows if c]


@given(COLUMNS)
def test_words_are_numbered_as_they_are_met(words: list[str]) -> None:
    code, known = of(words).numbered()
    assert list(known) == list(dict.fromkeys(word for word in words if word))
    assert [known[i] if i >= 0 else "" for i in code.tolist()] == words


EDGES = st.sampled_from(
    [-60.0, -8.5, -9.952, -3.3, 0.0, 3.3173, 9.952, 17.0, 34.0, 60.0, 60.1, -24.1]
)
INCHES = st.one_of(EDGES, st.floats(-70, 125), st.just(float("nan")))


@given(
    st.lists(
        st.tuples(
            INCHES,
            INCHES,
            st.sampled_from(["R", "L", "", "S"]),
            st.sampled_from([(np.nan, np.nan), (42.0, 19.0), (40.0, np.nan)]),
            st.sampled_from(["", "11-12", "17-18", "no level"]),
            st.sampled_from(["", "", "up-in"]),
        ),
        max_size=20,
    )
)
def test_places_are_those_of_one_pitch_at_a_time(rows: list[tuple[Any, ...]]) -> None:
    sides, heights, bats, zones, levels, charted = zip(*rows, strict=True) if rows else ((),) * 6
    frame = pd.DataFrame(
        {
            "side_in": np.array(sides, dtype=float),
            "height_in": np.array(heights, dtype=float),
            "bats": pd.Series(bats, dtype=object),
            "top_in": np.array([top for top, _ in zones], dtype=float),
            "bottom_in": np.array([bottom for _, bottom in zones], dtype=float),
            "level": pd.Series(levels, dtype=object),
            "cell": pd.Series(charted, dtype=object),
        }
    )
    assert cells(frame).tolist() == [one_place(*row) for row in rows]


def one_place(
    side: float, height: float, bats: str, edges: tuple[float, float], level: str, charted: str
) -> str:
    if charted or bats not in ("R", "L") or not np.isfinite([side, height]).all():
        return charted
    usual = LEVELS.get(level, LEVELS[DEFAULT_LEVEL]).zone
    try:
        return to_hitter(
            cell_of(side, height, Zone(*edges) if np.isfinite(edges).all() else usual), bats
        )
    except BadInput:
        return ""


def test_a_zone_that_cannot_be_is_refused() -> None:
    frame = pd.DataFrame(
        {
            "side_in": [0.0],
            "height_in": [30.0],
            "bats": ["R"],
            "top_in": [18.0],
            "bottom_in": [40.0],
        }
    )
    with pytest.raises(BadInput, match="from 40 to 18 inches"):
        cells(frame)
