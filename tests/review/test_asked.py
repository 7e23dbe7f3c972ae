"""What the plan asked, what was called and what was thrown; cross-ups."""

from collections.abc import Mapping
from typing import Any

import pandas as pd
import pytest

from sequencer.reports.asked_text import asked_lines
from sequencer.review.asked import Asked, Seen, asked
from sequencer.review.coded import encode
from sequencer.review.plans import Plans, Shown
from tests.review import simulate


def plan(
    _who: str, _hitter: str, balls: int, _strikes: int, _shown: Shown
) -> Mapping[tuple[str, str], float]:
    fast = 0.8 if balls else 0.5
    return {("fastball", "in"): fast, ("curveball", "low-away"): 1 - fast}


def of(frame: pd.DataFrame, plans: Plans | None = plan) -> Asked | None:
    log = encode(frame)
    return asked(Seen.of(frame.iloc[log.row]), log, plans)


@pytest.fixture(scope="module")
def frame() -> pd.DataFrame:
    thrown = simulate.log(200, seed=1)
    return thrown.assign(called=thrown["pitch"], target="in", target_when="before")


def test_what_the_plan_asks_is_its_share_over_these_very_pitches(frame: pd.DataFrame) -> None:
    found = of(frame)
    assert found
    shares = {each.what["pitch"]: each for each in found.types}
    want = (frame["balls"].gt(0) * 0.3 + 0.5).mean()
    assert shares["fastball"].asked == pytest.approx(want)
    assert shares["curveball"].asked == pytest.approx(1 - want)
    assert shares["changeup"].asked == 0
    assert sum(each.asked or 0 for each in found.types) == pytest.approx(1)
    assert shares["changeup"].thrown[0] == pytest.approx((frame["pitch"] == "changeup").mean())


def test_sides_are_of_the_target_asked_called_and_of_the_cell_thrown(frame: pd.DataFrame) -> None:
    found = of(frame)
    assert found
    sides = {each.what["side"]: each for each in found.sides}
    assert sides["in"].called
    assert sides["in"].called[0] == 1
    assert sides["in"].asked == pytest.approx(
        next(each.asked for each in found.types if each.what["pitch"] == "fastball")
    )
    assert sides["away"].thrown[0] == pytest.approx(frame["cell"].str.endswith("-away").mean())


def test_cross_ups_are_counted_and_a_coarse_word_is_none(frame: pd.DataFrame) -> None:
    called = frame["pitch"].replace("curveball", "breaking ball").to_list()
    called[:3] = ["changeup" if word != "changeup" else "fastball" for word in called[:3]]
    found = of(frame.assign(called=called))
    assert found
    assert (found.cross_ups, found.with_call) == (3, 200)
    assert "Cross-ups: 3 of 200 called pitches came as another pitch." in asked_lines(found)


def test_what_is_not_what_the_plan_asks_is_marked(frame: pd.DataFrame) -> None:
    found = of(frame)
    assert found
    off = {each.what["pitch"] for each in found.types if each.off}
    assert "changeup" in off
    text = asked_lines(found)
    assert any(line.endswith(")") and "*" in line and "changeup" in line for line in text)
    assert any(line.startswith("* not what the plan asks for ") for line in text)
    own = frame["pitch"].value_counts(normalize=True)
    same = of(frame, lambda *_: {(str(pitch), "in"): share for pitch, share in own.items()})
    assert same
    assert not any(each.off for each in same.types)


def test_a_target_entered_after_the_pitch_is_none(frame: pd.DataFrame) -> None:
    found = of(frame.assign(target_when="after"))
    assert found
    assert all(each.called is None for each in found.sides)


def test_without_calls_what_was_thrown_is_held_against_the_plan() -> None:
    found = of(simulate.log(200, seed=1))
    assert found
    assert all(each.called is None for each in found.types)
    assert found.with_call == 0
    assert not any("ross-up" in line for line in asked_lines(found))


def test_without_a_plan_calls_and_throws_are_still_held_together(frame: pd.DataFrame) -> None:
    found = of(frame, None)
    assert found
    assert all(each.asked is None and not each.off for each in found.types)
    assert of(simulate.log(200, seed=1), None) is None


def test_a_few_pitches_say_nothing(frame: pd.DataFrame) -> None:
    assert of(frame.head(12)) is None
    assert asked_lines(None) == []


def test_the_values_are_plain_and_the_table_fits_the_page(frame: pd.DataFrame) -> None:
    found = of(frame)
    assert found
    plain: Any = found.as_json()
    assert set(plain) == {"pitches", "placed", "types", "sides", "cross_ups", "with_call"}
    low, high = plain["types"][0]["thrown_interval"]
    assert low < plain["types"][0]["thrown"] < high
    assert max(map(len, asked_lines(found))) <= 80
