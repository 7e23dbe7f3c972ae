"""What a coach would expect of a plan before believing a number of it: tests of direction."""

from dataclasses import replace

import numpy as np

from sequencer.baseball.count import COUNTS, Count
from sequencer.planning.calls import CoachRules
from sequencer.planning.plan import plan
from sequencer.planning.stakes import Moment
from tests.planning.plan_people import a_hitter, a_league, a_pitcher, in_zone, share_of, shares

EARLY = (Count(0, 0), Count(1, 0), Count(2, 0), Count(1, 1), Count(2, 1))


def test_bases_loaded_and_three_and_one_calls_for_a_strike() -> None:
    pitcher = a_pitcher(spread=8.0)
    loaded = plan([a_hitter()], pitcher, a_league(), situation=Moment(("a", "b", "c"), 1))
    zone = in_zone(loaded, pitcher)
    assert shares(loaded, Count(3, 1)) @ zone > zone.max() - 0.01


def test_soft_pitches_are_thrown_to_who_sits_fastball_and_ahead_in_the_count() -> None:
    usual, sits = (plan([a_hitter(fast_belief=x)], a_pitcher(), a_league(), trust=0.5)
                   for x in (0.0, 2.0))  # fmt: skip
    for count in (Count(1, 0), Count(2, 1)):
        assert share_of(sits, count, "fast") < share_of(usual, count, "fast") + 1e-9
    assert share_of(sits, Count(1, 0), "fast") < share_of(usual, Count(1, 0), "fast") - 0.1
    assert share_of(sits, Count(2, 1), "fast") < 0.6


def test_being_read_costs_nothing_where_he_takes_and_most_with_two_strikes() -> None:
    counts = plan([a_hitter()], a_pitcher(), a_league()).hitters[0].counts
    assert counts[Count(3, 0)].one_call < 0.0005 < counts[Count(0, 0)].one_call
    assert counts[Count(0, 2)].one_call > counts[Count(2, 0)].one_call + 0.002
    alone = plan([a_hitter()], a_pitcher("fastball", spread=14.0), a_league())
    assert all(one.one_call < 1e-9 for one in alone.hitters[0].counts.values())


def test_two_strikes_leave_the_zone_more_than_the_first_pitch() -> None:
    pitcher = a_pitcher(spread=7.0)
    made = plan([a_hitter()], pitcher, a_league())
    zone = in_zone(made, pitcher)
    assert shares(made, Count(0, 2)) @ zone < shares(made, Count(0, 0)) @ zone - 0.02
    assert shares(made, Count(0, 2)) @ zone < shares(made, Count(3, 1)) @ zone - 0.1


def test_a_slow_bat_gets_fastballs_nearly_all() -> None:
    slow = a_hitter(fast=-1.5, timing_late=1.5, power=-1.5)
    made = plan([slow], a_pitcher(), a_league())
    usual = plan([a_hitter()], a_pitcher(), a_league())
    fast = [share_of(made, count, "fast") for count in COUNTS]
    assert np.mean(fast) > 0.9
    assert np.mean(fast) > np.mean([share_of(usual, count, "fast") for count in COUNTS]) + 0.1


def test_a_curve_that_is_shelved_is_not_called() -> None:
    pitcher = a_pitcher()
    curve = replace(pitcher.pitch("curveball"), shelved=True, evidence="2 strikes of 11 today")
    without = replace(pitcher, arsenal=(*pitcher.arsenal[:2], curve))
    made = plan([a_hitter()], without, a_league())
    assert max(share_of(made, count, "breaking") for count in COUNTS) == 0.0
    assert "curveball shelved: 2 strikes of 11 today" in made.notes


def test_a_curve_that_hangs_is_not_called() -> None:
    pitcher = a_pitcher(spread=8.0)
    hangs = replace(pitcher.pitch("curveball"), bias=np.array([0.0, 12.0]), cov=np.eye(2) * 16.0**2)
    dead = replace(pitcher, arsenal=(*pitcher.arsenal[:2], hangs))
    made = plan([a_hitter()], dead, a_league())
    assert max(share_of(made, count, "breaking") for count in COUNTS) < 0.02


def test_mirrored_hitters_get_mirrored_plans() -> None:
    right = a_pitcher(spread=8.0)
    tilt = np.array([[64.0, 20.0], [20.0, 80.0]])
    lean = np.array([2.0, 1.0])
    right = replace(right, arsenal=tuple(replace(p, cov=tilt, bias=lean) for p in right.arsenal))
    flip = np.diag([-1.0, 1.0])
    left = replace(
        right,
        throws="L",
        arsenal=tuple(replace(p, cov=flip @ tilt @ flip, bias=flip @ lean) for p in right.arsenal),
    )
    one = plan([a_hitter(bats="R", inside=1.0)], right, a_league())
    other = plan([a_hitter(bats="L", inside=1.0)], left, a_league())
    assert np.allclose(one.solved.value, other.solved.value, atol=1e-9)
    assert np.allclose(one.solved.mix, other.solved.mix, atol=1e-6)


def test_a_poor_blocker_with_a_runner_on_third_gets_fewer_pitches_down() -> None:
    pitcher, third = a_pitcher(spread=6.5), Moment(("", "", "c"), 1)
    low = []
    for catcher in ("good", "poor"):
        made = plan([a_hitter()], pitcher, a_league(), situation=third, catcher=catcher)
        chosen = [call.target.startswith(("down", "below")) for call in made.solved.tables.calls]
        low.append(sum(float(shares(made, count)[chosen].sum()) for count in COUNTS))
    good, poor = low
    assert good > 2.0
    assert poor < good - 0.5


def test_eleven_year_olds_get_no_curve_unless_the_coach_turns_it_on() -> None:
    pitcher, league = a_pitcher(level="11-12"), a_league("11-12")
    man = a_hitter(level="11-12")
    made = plan([man], pitcher, league)
    assert all(call.family != "breaking" for call in made.solved.tables.calls)
    assert any("no breaking balls at 11-12" in note for note in made.notes)
    turned_on = plan([man], pitcher, league, coach=CoachRules(breaking=True))
    assert any(call.family == "breaking" for call in turned_on.solved.tables.calls)


def test_a_wild_pitcher_throws_his_best_strike_on_a_full_count() -> None:
    pitcher = a_pitcher("fastball", "changeup", level="13-14", spread=14.0)
    made = plan([a_hitter(level="13-14")], pitcher, a_league("13-14"))
    zone = in_zone(made, pitcher, level="13-14")
    best = made.solved.tables.calls[int(zone.argmax())]
    first, share = made.hitters[0].counts[Count(3, 2)].calls[0]
    assert first == best
    assert share > 0.6
    assert shares(made, Count(3, 2)) @ zone > 0.94 * zone.max()


def test_the_hitter_who_hurts_us_sees_less_of_the_middle() -> None:
    pitcher = a_pitcher(spread=8.0)
    usual, strong = (plan([man], pitcher, a_league()) for man in (a_hitter(), a_hitter(power=2.0)))
    middle = [call.target == "middle" for call in usual.solved.tables.calls]
    less = [float(shares(strong, c)[middle].sum() - shares(usual, c)[middle].sum()) for c in COUNTS]
    assert sum(less) < -0.5


def test_first_base_open_and_two_outs_gets_fewer_strikes() -> None:
    pitcher = a_pitcher(spread=8.0)
    opened, loaded = (
        plan([a_hitter()], pitcher, a_league(), situation=Moment(bases, 2))
        for bases in (("", "b", "c"), ("a", "b", "c"))
    )
    zone = in_zone(opened, pitcher)
    strikes = [
        np.mean([shares(made, count) @ zone for count in (*EARLY, Count(3, 1), Count(3, 2))])
        for made in (opened, loaded)
    ]
    assert strikes[0] < strikes[1] - 0.05
