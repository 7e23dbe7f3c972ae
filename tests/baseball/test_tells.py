import pytest
from hypothesis import given
from hypothesis import strategies as st

from sequencer.baseball.tells import TELLS, corrections, list_of_tells, named, parse
from sequencer.errors import BadInput


def test_every_tell_goes_by_words_that_no_other_has() -> None:
    words = [word for tell in TELLS.values() for word in (tell.name, *tell.also)]
    assert len(words) == len(set(words))
    assert all(named(word).name == tell.name for tell in TELLS.values() for word in tell.also)
    assert not any(named(word).slip for word in words)


@pytest.mark.parametrize(
    ("word", "name", "slip"),
    [
        ("Arm  Slows", "arm slows", False),
        ("slower arm", "arm slows", False),
        ("glove flair", "glove flares", True),
        ("arm slws", "arm slows", True),
        ("time to plat", "time to plate", True),
        ("glove", "glove", False),
        ("winks", "winks", False),
    ],
)
def test_a_word_is_counted_under_its_name_and_a_slip_is_known(
    word: str, name: str, slip: bool
) -> None:
    assert named(word) == (name, slip)


def test_a_slip_is_corrected_in_one_sentence() -> None:
    said = corrections(["glove flair", "winks", "glove flair", "flare"])
    assert said == ("'glove flair' is counted as 'glove flares'.",)


def test_help_lists_every_tell_that_can_be_typed() -> None:
    lines = list_of_tells()
    assert len(lines) == sum(tell.how != "counted" for tell in TELLS.values())
    assert "time to plate=NUMBER: from the first move to the mitt (s)" in lines


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("hold=long", "'long' of the tell 'hold' is not a number"),
        ("hold=", "'' of the tell 'hold' is not a number"),
        ("hold=nan", "is not a number"),
        ("hold=1_0", "is not a number"),
        ("=3", "measures nothing"),
        ("time to plate=142", "time to plate=142 cannot be; it is 0.4 to 5 s"),
        ("Time to plat=142", "cannot be"),
    ],
)
def test_a_wrong_number_is_one_sentence(text: str, says: str) -> None:
    with pytest.raises(BadInput, match=says) as refused:
        parse(text)
    assert "\n" not in str(refused.value)


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_any_number_may_stand_behind_a_word_of_ones_own(number: float) -> None:
    assert parse(f"chin={number!r}") == ("chin", number)


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused_in_a_sentence(text: str) -> None:
    try:
        word, value = parse(text)
    except BadInput:
        assert "=" in text
    else:
        assert (value is None) == ("=" not in text)
        assert named(word).name or not word
