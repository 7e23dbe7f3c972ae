"""Pitches that look the same to a hitter are one to the plan."""

from dataclasses import replace

from sequencer.baseball.levels import level
from sequencer.estimates.pitcher import Alike
from sequencer.planning.calls import CoachRules, calls_for
from sequencer.planning.plan import plan
from sequencer.planning.throws import thrown
from tests.planning.plan_people import LEVEL, a_hitter, a_league, a_pitcher

ZONE = level(LEVEL).zone


def test_of_two_fastballs_that_look_the_same_one_is_called_and_the_coach_is_told() -> None:
    two = a_pitcher("four-seam", "two-seam", "changeup", spread=9.0)
    better = replace(two.pitch("two-seam"), strike_share=0.70)
    two = replace(
        two,
        arsenal=(two.arsenal[0], better, two.arsenal[2]),
        alike=(Alike("four-seam", "two-seam"),),
    )
    made = plan([a_hitter()], two, a_league())
    assert {call.pitch for call in made.solved.tables.calls} == {"two-seam", "changeup"}
    assert any("the four-seam looks the same as the two-seam" in note for note in made.notes)
    other = plan([a_hitter()], two, a_league(), coach=CoachRules(never=("two-seam",)))
    calls = other.solved.mix[0].sum(axis=(0, 1, 2))
    used = {
        call.pitch
        for call, share in zip(other.solved.tables.calls, calls, strict=True)
        if share > 1e-9
    }
    assert used == {"four-seam", "changeup"}


def test_a_change_up_as_fast_as_the_fastball_surprises_nobody() -> None:
    apart = a_pitcher("fastball", "changeup", spread=9.0)
    same = replace(apart, alike=(Alike("fastball", "changeup"),))
    league, hitter = a_league(), a_hitter()
    assert [f.family for f in thrown(same, calls_for(apart.available), ZONE, "R")] == ["fast"]
    two, one = (plan([hitter], pitcher, league) for pitcher in (apart, same))
    assert any("it counts as fast" in note for note in one.notes)
    # Without another speed to fear the hitter makes more of him.
    assert one.hitters[0].value > two.hitters[0].value + 0.003
