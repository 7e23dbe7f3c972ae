import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sequencer.baseball import zone
from sequencer.errors import BadInput
from sequencer.records.columns import (
    PITCH_COLUMNS,
    TABLES,
    Column,
    Value,
    known_word,
    names,
    required,
)
from sequencer.records.pitch import Pitch


def test_the_pitch_log_needs_just_nine_columns() -> None:
    assert set(required(PITCH_COLUMNS)) == {
        *("game", "balls", "strikes", "pitcher", "hitter", "at_bat", "pitch_no"),
        *("pitch", "result"),
    }


def test_every_field_of_a_pitch_has_its_column() -> None:
    assert set(Pitch.model_fields) - {"observed"} <= set(names(PITCH_COLUMNS))


@pytest.mark.parametrize("table", list(TABLES))
def test_every_table_names_its_columns_once_and_says_what_they_mean(table: str) -> None:
    columns = TABLES[table]
    assert len(set(names(columns))) == len(columns)
    assert all(column.meaning for column in columns)
    assert all(bool(c.words) == (c.kind in ("word", "place")) for c in columns)


def test_words_are_read_whatever_their_case_spaces_and_quotes() -> None:
    words = ("catcher's interference", "ball")
    assert known_word(" Catcher’s   Interference ", words, "result") == "catcher's interference"
    assert known_word("", words, "result") == ""


def test_an_unknown_word_names_the_nearest_or_all() -> None:
    with pytest.raises(BadInput, match="did you mean 'ball'"):
        known_word("bal", ("ball", "foul"), "result")
    with pytest.raises(BadInput, match="it is one of ball, foul"):
        known_word("zzz", ("ball", "foul"), "result")


@pytest.mark.parametrize("word", zone.WORDS)
def test_a_target_may_be_any_place_in_either_frame(word: str) -> None:
    target = next(column for column in PITCH_COLUMNS if column.name == "target")
    assert target.read(word) == word
    assert target.read(zone.to_catcher(word, "L")) == zone.to_catcher(word, "L")


@given(
    st.one_of(
        st.tuples(st.just("float"), st.floats(allow_nan=False, allow_infinity=False)),
        st.tuples(st.just("int"), st.integers(-(10**9), 10**9)),
        st.tuples(st.just("flag"), st.booleans()),
        st.tuples(st.just("date"), st.dates(dt.date(1000, 1, 1))),
        st.tuples(
            st.just("list"),
            st.lists(st.from_regex(r"[a-z][a-z ]*[a-z]", fullmatch=True), max_size=4).map(tuple),
        ),
        st.tuples(
            st.just("tells"),
            st.lists(
                st.one_of(
                    st.from_regex(r"[a-z][a-z ]*[a-z]", fullmatch=True),
                    st.floats(allow_nan=False, allow_infinity=False).map("chin={!r}".format),
                ),
                max_size=4,
            ).map(tuple),
        ),
        st.tuples(st.sampled_from(["int", "float", "flag", "date"]), st.none()),
    )
)
def test_what_is_written_is_read_back(pair: tuple[str, Value]) -> None:
    kind, value = pair
    column = Column("x", kind, "a column")  # type: ignore[arg-type]
    assert column.read(Column.write(value)) == value
