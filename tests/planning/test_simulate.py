"""A plan against hitters of several minds, beside what coaches do by hand."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from sequencer.baseball.count import COUNTS, HITTERS_COUNTS, Count
from sequencer.errors import BadInput
from sequencer.estimates import hitter
from sequencer.estimates.traits import INDEX
from sequencer.planning.calls import CoachRules
from sequencer.planning.plan import Plan, plan
from sequencer.planning.simulated import opponents
from sequencer.planning.simulated.by_hand import (
    Past,
    fastball_away,
    favourite,
    league_mix,
    past_mix,
    permitted,
)
from sequencer.planning.simulated.faced import Faced
from sequencer.planning.simulated.opponents import BEST_REPLY, OPPONENTS, READS, watch
from sequencer.planning.simulated.sampler import Pitching, play
from sequencer.planning.simulated.simulate import (
    AWAY,
    BY_HAND,
    CARD,
    PAST,
    PLAN,
    SHARED,
    drawn,
    simulate,
)
from sequencer.planning.simulated.simulation import Simulation
from sequencer.records.people import Mark, Person
from tests.planning.plan_people import LEVEL, a_hitter, a_league, a_pitcher, share_of

#: A pitcher who threw the change-up away in every hitter's count.
SOFT_BEHIND = Past(("changeup",) * 90, ("away",) * 90, (3, 6, 9) * 30)


@cache
def made(trust: float = 0.0, coach: CoachRules = CoachRules()) -> Plan:  # noqa: B008
    men = [a_hitter(), a_hitter(bats="L", power=1.0, fast_belief=1.0), a_hitter(fast=-1.0)]
    return plan(men, a_pitcher(), a_league(), trust=trust, coach=coach)


@cache
def found(trust: float = 0.0) -> Simulation:
    return simulate(made(trust), SOFT_BEHIND, games=4, watched=200, seed=3)


@pytest.mark.parametrize("trust", [0.0, 0.6])
def test_no_mind_exceeds_what_the_plan_says_it_guarantees(trust: float) -> None:
    ours = found(trust)
    assert ours.believed.shape == (4, 6, len(OPPONENTS), 3)
    assert np.all(ours.believed[:, 0] <= ours.guarantee + 1e-9)
    reply = ours.believed[:, 0, ours.minds.index(BEST_REPLY)]
    np.testing.assert_allclose(reply, np.tile(ours.guarantee, (4, 1)), atol=1e-9)


def test_no_mind_does_better_than_the_best_reply_to_any_way() -> None:
    for runs in (found().drawn, found().believed):
        best = runs[:, :, found().minds.index(BEST_REPLY)]
        assert np.all(runs <= best[:, :, None] + 1e-9)


def test_the_plans_worst_case_is_better_than_that_of_everything_done_by_hand() -> None:
    ours = found()
    by_hand = [ours.ways.index(way) for way in BY_HAND]
    for runs in (ours.runs[0], ours.against_believed[0]):
        worst = runs.max(axis=1)
        assert np.all(worst[0] < worst[by_hand])
    over, half = ours.over_plan
    worst_mind = ours.minds.index(BEST_REPLY)
    assert np.all(over[by_hand, worst_mind] > half[by_hand, worst_mind])


@pytest.mark.parametrize("level", ["11-12", "13-14", "pro"])
def test_so_it_is_at_other_levels_against_hitters_as_they_are_believed_to_be(level: str) -> None:
    pitcher = a_pitcher("fastball", "changeup", level=level)
    men = [a_hitter(level=level), a_hitter(level=level, bats="L", power=1.5)]
    ours = simulate(plan(men, pitcher, a_league(level)), games=2, watched=20)
    worst = dict(zip(ours.ways, ours.against_believed[0].max(axis=1), strict=True))
    assert all(worst[PLAN] < worst[way] for way in BY_HAND)
    assert worst[CARD] - worst[PLAN] < 0.35


def test_the_same_seed_gives_the_same_table_and_another_another() -> None:
    again = simulate(made(), SOFT_BEHIND, games=2, watched=200, seed=3)
    other = simulate(made(), SOFT_BEHIND, games=2, watched=200, seed=4)
    assert np.array_equal(again.drawn, found().drawn[:2])  # and games do not hang on one another
    assert np.array_equal(again.believed, found().believed[:2])
    assert not np.allclose(other.drawn, again.drawn)


def test_differences_are_known_better_than_what_they_are_of() -> None:
    ours = found()
    card, best = ours.ways.index(CARD), ours.minds.index(BEST_REPLY)
    assert ours.over_plan[1][card, best] < 0.25 * ours.runs[1][card, best]
    assert np.all(ours.over_plan[0][0] == 0.0)


def test_a_simulation_speaks_json() -> None:
    said = found().as_json()
    assert [way["way"] for way in said["ways"]] == list(found().ways)
    assert said["ways"][0]["worst"] == BEST_REPLY
    first = said["ways"][0]["minds"][0]
    low, high = first["interval"]
    assert low < first["runs_per_100"] < high
    assert first["over_plan"] == 0.0
    assert said["past_pitches"] == 90


def test_shared_cards_are_played_when_given() -> None:
    cards = [made().hitters[0].card] * 3
    ours = simulate(made(), games=2, watched=50, shared=cards)
    assert ours.ways[-1] == SHARED
    best = ours.minds.index(BEST_REPLY)
    own, shared = ours.ways.index(CARD), len(ours.ways) - 1
    np.testing.assert_allclose(ours.believed[:, own, best, 0], ours.believed[:, shared, best, 0])


def test_a_simulation_of_one_game_is_refused() -> None:
    with pytest.raises(BadInput, match="two games"):
        simulate(made(), games=1)


def test_hitters_are_drawn_about_what_is_believed_of_them() -> None:
    man, rng = a_hitter(power=1.0), np.random.default_rng(5)
    pairs = [drawn(man, a_league(), rng) for _ in range(4000)]
    many = np.array([one.mean for one, _ in pairs])
    sd = np.sqrt(np.diag(man.cov))
    assert np.all(np.abs(many.mean(axis=0) - man.mean) < 4.5 * sd / np.sqrt(4000))
    np.testing.assert_allclose(many.std(axis=0), sd, rtol=0.06)
    images = np.array([image.mean for _, image in pairs])
    np.testing.assert_allclose(many + images, np.tile(2.0 * man.mean, (4000, 1)), atol=1e-12)
    eager, _ = drawn(man, a_league(), np.random.default_rng(1))
    takes = hitter.habit_of(eager.mean, a_league().take_share)
    np.testing.assert_array_equal(eager.take_share, takes)


def test_fastball_first_and_away_by_count() -> None:
    tables = made().solved.tables
    mix = fastball_away(tables, made().given.pitcher)
    for count in COUNTS:
        (call,) = np.flatnonzero(mix[0, count.balls, count.strikes, 0])
        early = count == (0, 0) or count in HITTERS_COUNTS
        assert (tables.calls[call].pitch == "fastball") == early
        assert tables.calls[call].side == "away" or "low" in tables.calls[call].target


def test_a_favourite_is_one_call_that_ignores_the_last_pitch() -> None:
    mix = favourite(made().solved)
    assert set(np.unique(mix)) == {0.0, 1.0}
    assert np.all(mix == mix[:, :, :, :1])
    faced = Faced.of(made().solved.game, mix)
    loses = faced.worth(faced.reply())[:, 0, 0, 0] - made().solved.guarantee[:, 0, 0, 0]
    assert np.all((loses > -0.0005) & (loses < 0.02))


def test_the_league_mix_throws_the_leagues_fastballs() -> None:
    tables, league = made().solved.tables, a_league()
    mix = league_mix(tables, league, made().given.around.level.zone)
    fast = [call.family == "fast" for call in tables.calls]
    np.testing.assert_allclose(mix[0, :, :, 0][..., fast].sum(axis=-1), league.fast_share)


def test_his_own_past_counts_for_more_the_more_there_is_of_it() -> None:
    tables, zone = made().solved.tables, made().given.around.level.zone
    away = [str(call) for call in tables.calls].index("changeup away")
    few = Past(SOFT_BEHIND.pitch[:10], SOFT_BEHIND.target[:10], SOFT_BEHIND.count[:10])
    shares = [
        float(past_mix(tables, past, a_league(), zone)[0, 2, 0, 0, away])
        for past in (Past(), few, SOFT_BEHIND)
    ]
    assert shares[0] < 0.1 < shares[1] < 0.6 < shares[2]
    unknown = Past(("slider", "knuckleball", "unknown", "changeup"), ("", "", "", ""), (0,) * 4)
    np.testing.assert_allclose(past_mix(tables, unknown, a_league(), zone).sum(axis=-1), 1.0)


def test_the_coachs_rules_bind_what_is_done_by_hand() -> None:
    coach = CoachRules(never=("curveball",), first_pitch_strike=True, no_middle=True)
    ruled = made(coach=coach)
    tables, zone = ruled.solved.tables, ruled.given.around.level.zone
    left = permitted(tables).reshape(3, 4, 3, 1, -1)
    assert not left.all()
    for mix in (
        fastball_away(tables, ruled.given.pitcher),
        favourite(ruled.solved),
        league_mix(tables, a_league(), zone),
        past_mix(tables, Past(("curveball",) * 50, ("middle",) * 50, (0,) * 50), a_league(), zone),
    ):
        assert np.all(mix[~np.broadcast_to(left, mix.shape)] == 0.0)
        np.testing.assert_allclose(mix.sum(axis=-1), 1.0)
    ours = simulate(ruled, games=2, watched=60)
    assert ours.drawn.max() < 0.5  # nobody pays for a call that is ruled out


def test_who_reads_a_long_log_of_habits_knows_them_and_the_plan_has_none_to_read() -> None:
    """A reader of 4,000 pitches gains nearly what a best reply does, of 20 much less."""
    plan_ = made()
    game, tables, given = plan_.solved.game, plan_.solved.tables, plan_.given
    zone = given.around.level.zone
    usual = league_mix(tables, given.league, zone)[0, :, :, 0].reshape(12, -1)
    habits = past_mix(tables, SOFT_BEHIND, given.league, zone)
    pitching = Pitching.of(game, opponents.habit(game))
    log = play(pitching, habits, np.arange(2000) % 3, np.random.default_rng(2))
    bats = [man.bats for man in given.hitters]
    faced = Faced.of(game, habits)
    best = faced.worth(faced.reply())[:, 0, 0, 0]
    short, long = (
        faced.worth(Faced.of(game, watch(log.first(n), tables, bats, usual).read).reply())
        for n in (20, 4000)
    )
    assert np.all(best - long[:, 0, 0, 0] < 0.002)
    assert (best - long[:, 0, 0, 0]).mean() < 0.5 * (best - short[:, 0, 0, 0]).mean()


def test_who_guesses_by_count_sits_on_what_he_saw_most() -> None:
    tables, given = made().solved.tables, made().given
    usual = league_mix(tables, given.league, given.around.level.zone)[0, :, :, 0].reshape(12, -1)
    mix = np.zeros_like(made().solved.mix)
    names = [str(call) for call in tables.calls]
    mix[..., names.index("fastball middle")] = 1.0
    for count in HITTERS_COUNTS:
        mix[:, count.balls, count.strikes] = np.eye(len(names))[names.index("changeup middle")]
    game = made().solved.game
    pitching = Pitching.of(game, opponents.habit(game))
    log = play(pitching, mix, np.arange(80) % 3, np.random.default_rng(2))
    guess = watch(log, tables, ["R", "L", "R"], usual).guess
    for count, belief in zip(COUNTS, guess, strict=True):
        assert (belief < 0.5) == (count in HITTERS_COUNTS)


def test_sitting_on_one_pitch_is_beaten_by_the_plan_more_than_reading_it() -> None:
    runs = found().against_believed[0][0]
    minds = found().minds
    for mind in ("sits fastball", "sits soft", "random"):
        assert runs[minds.index(mind)] < runs[minds.index(READS)]


def test_a_slow_bat_with_weak_contact_gets_nearly_all_fastballs_by_his_marks() -> None:
    person = Person(id="slow", team="", name="slow bat", bats="R")
    marks = [Mark(person="slow", mark="late on the fastball", how_often="always")]
    slow = hitter.believe(person, marks, None, a_league())
    weak = slow.mean.copy()
    weak[INDEX["power"]] -= 1.5 * hitter.spread(LEVEL)[INDEX["power"]]
    plan_ = plan([replace(slow, mean=weak)], a_pitcher(), a_league())
    fast = [share_of(plan_, count, "fast") for count in COUNTS]
    assert np.mean(fast) > 0.9
    ours = simulate(plan_, games=2, watched=100)
    assert ours.against_believed[0][0].max() < -5.0
    assert ours.ways[0] == PLAN


def test_a_league_hitter_in_high_school_gets_a_plan_a_coach_would_nod_at() -> None:
    plan_ = plan([a_hitter()], a_pitcher(), a_league())
    mixed = {count: share_of(plan_, count, "fast") for count in COUNTS}
    assert mixed[Count(3, 0)] > 0.4
    assert 0.3 < mixed[Count(0, 0)] < 0.9
    assert mixed[Count(0, 2)] < mixed[Count(1, 0)]  # the curve comes when ahead


def test_the_ways_and_minds_are_told_in_the_order_of_the_table() -> None:
    assert found().ways[:2] == (PLAN, CARD)
    assert set(BY_HAND) == set(found().ways[2:])
    assert {AWAY, PAST} <= set(BY_HAND)
    assert found().minds == tuple(OPPONENTS)
