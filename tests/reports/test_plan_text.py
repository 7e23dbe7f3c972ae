"""A plan's text says what it believes of the pitcher, each number with its spread."""

import re

import pytest

from sequencer.planning.plan import plan
from sequencer.reports.plan_text import WIDTH, arsenal_lines, plan_text
from tests.planning.plan_people import a_hitter, a_league, a_pitcher


def test_every_pitch_stands_with_its_miss_its_strikes_and_what_they_rest_on() -> None:
    pitcher = a_pitcher(spread=8.0)
    head, *lines = arsenal_lines(pitcher.arsenal)
    assert "misses a side by" in head and "strikes in 100" in head
    assert len(lines) == len(pitcher.arsenal)
    for line, pitch in zip(lines, pitcher.arsenal, strict=True):
        low, high = (round(100 * share) for share in pitch.strike_interval)
        assert pitch.pitch in line and len(line) <= WIDTH
        assert f"{pitch.spread:.1f} in (sd {pitch.spread_sd:.1f})" in line
        assert re.search(rf"\({low} to {high}\)", line)


def test_the_plan_and_its_json_hold_the_same_arsenal() -> None:
    made = plan([a_hitter()], a_pitcher(spread=8.0), a_league())
    assert "\n".join(arsenal_lines(made.arsenal)) in plan_text(made)
    for said, pitch in zip(made.as_json()["arsenal"], made.arsenal, strict=True):
        assert said["pitch"] == pitch.pitch
        assert said["spread_in"] == pytest.approx(pitch.spread)
        assert said["interval"][0] <= said["strike_share"] <= said["interval"][1]
