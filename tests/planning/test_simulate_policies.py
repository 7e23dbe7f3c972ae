"""What policies of looks are worth: exact values, played at-bats, chains solved outside."""

import numpy as np
import pytest
import scipy.linalg

from sequencer.planning.arrays import Floats
from sequencer.planning.at_bat import evaluate_tables, solve_at_bat
from sequencer.planning.plan import Plan, plan
from sequencer.planning.simulated import opponents
from sequencer.planning.simulated.by_hand import fastball_away, favourite, league_mix
from sequencer.planning.simulated.faced import Faced
from sequencer.planning.simulated.sampler import (
    GOES_ON,
    IN_PLAY,
    STRIKEOUT,
    WALK,
    Pitching,
    Played,
    play,
)
from tests.planning.plan_people import a_hitter, a_league, a_pitcher

#: The probability of a home run that makes 3-2 likeliest, and how at-bats then end: "Robot
#: Baseball", monthly puzzle of October 2025 at janestreet.com/puzzles (one write-up says 68, 21
#: and 11 %); the value of 0-0 was solved for the same rules.
ROBOT_HOMER = 0.2269732325
ROBOT_SHARES = {STRIKEOUT: 0.6817, WALK: 0.2082, IN_PLAY: 0.1101}
BALL, STRIKE, FOUL, END, HIT_BY_PITCH = range(5)


@pytest.fixture(scope="module")
def made() -> Plan:
    return plan([a_hitter(), a_hitter(bats="L", power=1.0)], a_pitcher(), a_league())


def one_call(made: Plan) -> Floats:
    """Fastball in, whatever the count."""
    tables = made.solved.tables
    mix = np.zeros_like(made.solved.mix)
    mix[..., [str(call) for call in tables.calls].index("fastball in")] = 1.0
    return mix


def chain(made: Plan, mix: Floats, hitter: int) -> tuple[float, Floats, Floats]:
    """The runs of 0-0 by an absorbing chain; its values; and what every look gains in it, there.

    Looks are the ones of the best reply to the mix; whole arrays, no factors.
    """
    reply = evaluate_tables(made.solved.game, mix)
    tables = made.solved.tables.with_looks(reply.names)
    outcomes, ends, way = (x[hitter] for x in (tables.outcomes, tables.end_runs, tables.call_runs))
    stakes, lasts = tables.stakes, len(tables.lasts)
    looks = len(reply.names)
    moves = np.zeros((12 * lasts, looks, 12 * lasts))
    gains = np.zeros((12 * lasts, looks))
    for balls, strikes, last in np.ndindex(4, 3, lasts):
        here = (3 * balls + strikes) * lasts + last
        for call, share in enumerate(mix[hitter, balls, strikes, last]):
            chance = share * outcomes[balls, strikes, last, call]
            gains[here] += chance[:, END] * ends[balls, strikes, last, call]
            gains[here] += share * way[balls, strikes, last, call]
            gains[here] += chance[:, HIT_BY_PITCH] * stakes.hit_by_pitch
            left = int(tables.next_last[call])
            for part, (b, s) in (
                (BALL, (balls + 1, strikes)),
                (STRIKE, (balls, strikes + 1)),
                (FOUL, (balls, min(strikes + 1, 2))),
            ):
                if b == 4:
                    gains[here] += chance[:, part] * stakes.walk
                elif s == 3:
                    gains[here] += chance[:, part] * stakes.strikeout
                else:
                    moves[here, :, (3 * b + s) * lasts + left] += chance[:, part]
    played = reply.looks[hitter].reshape(12 * lasts, looks)
    onward = np.einsum("il,ilj->ij", played, moves)
    values = scipy.linalg.solve(np.eye(12 * lasts) - onward, (played * gains).sum(axis=1))
    return float(values[0]), values, gains + moves @ values


def test_one_call_against_the_best_reply_is_an_absorbing_chain(made: Plan) -> None:
    mix = one_call(made)
    faced = Faced.of(made.solved.game, mix)
    worth = faced.worth(faced.reply())
    for hitter in range(2):
        start, values, every = chain(made, mix, hitter)
        assert worth[hitter, 0, 0, 0] == pytest.approx(start, abs=1e-10)
        assert np.all(every.max(axis=1) <= values + 1e-9)  # no other look gains anywhere


def test_policies_and_best_replies_are_worth_what_the_planner_says(made: Plan) -> None:
    solved, game = made.solved, made.solved.game
    card = favourite(solved)
    faced = Faced.of(game, solved.mix, card)
    reply = faced.worth(faced.reply())
    np.testing.assert_allclose(reply[:2], solved.guarantee, atol=1e-12)
    np.testing.assert_allclose(reply[2:], evaluate_tables(game, card).value, atol=1e-12)
    habit = np.tile(opponents.habit(game), (2, 1, 1, 1))
    worth = faced.worth(np.stack([habit, habit]))
    np.testing.assert_allclose(worth[0, :2], solved.if_habit, atol=1e-12)
    against = evaluate_tables(game, card, solved.tables.habit).value
    np.testing.assert_allclose(worth[1, 2:], against, atol=1e-12)


def test_every_unlearned_policy_is_a_mixture_of_looks(made: Plan) -> None:
    """Parts of a look sum to one for fast and for soft pitches, and no take passes patience."""
    given, game = made.given, made.solved.game
    for policy in opponents.unlearned(game, given.hitters).values():
        by_side = policy.reshape(*policy.shape[:3], 2, -1)
        np.testing.assert_allclose(by_side.sum(axis=-1), 1.0, atol=1e-12)
        assert np.all(by_side[..., 0] <= game.factors.ceiling[:, :, None, None] + 1e-12)


def mean_runs(log: Played, at_bats: int) -> tuple[float, float]:
    """The mean of at-bats and its standard error."""
    runs = np.bincount(log.at_bat, weights=log.runs, minlength=at_bats)
    return float(runs.mean()), float(runs.std(ddof=1) / np.sqrt(at_bats))


def test_at_bats_played_come_to_the_exact_value_on_average(made: Plan) -> None:
    game, at_bats = made.solved.game, 40_000
    habit = opponents.habit(game)
    pitching = Pitching.of(game, habit)
    np.testing.assert_allclose(pitching.chances.sum(axis=-1), 1.0, atol=1e-9)
    for mix in (made.solved.mix, one_call(made)):
        exact = Faced.of(game, mix).worth(habit)[:, 0, 0, 0]
        for hitter in range(2):
            up = np.full(at_bats, hitter)
            log = play(pitching, mix, up, np.random.default_rng(hitter))
            mean, error = mean_runs(log, at_bats)
            assert abs(mean - exact[hitter]) < 4.0 * error
            assert error < 0.003


def test_logs_follow_the_rules_of_the_count(made: Plan) -> None:
    game = made.solved.game
    pitching = Pitching.of(game, opponents.habit(game))
    log = play(pitching, made.solved.mix, np.arange(200) % 2, np.random.default_rng(1))
    new = np.diff(log.at_bat) > 0
    assert np.all(log.end[:-1][new] != GOES_ON)
    assert np.all(log.end[:-1][~new] == GOES_ON)
    assert np.all(log.balls[1:][new] + log.strikes[1:][new] == 0)
    same = ~new
    ball = (log.outcome == BALL)[:-1]
    struck = ((log.outcome == STRIKE) | ((log.outcome == FOUL) & (log.strikes < 2)))[:-1]
    assert np.all((log.balls[1:] - log.balls[:-1])[same] == ball[same])
    assert np.all((log.strikes[1:] - log.strikes[:-1])[same] == struck[same])
    left = made.solved.tables.next_last[log.call[:-1]]
    assert np.all(log.last[1:][same] == left[same])
    walks = (log.end == WALK) & ~((log.balls == 3) & (log.outcome == BALL))
    assert not walks.any()


def test_robots_strike_out_walk_and_homer_as_often_as_published() -> None:
    """Ball or strike against waiting or swinging; four balls a run, a home run four."""
    outcomes = np.zeros((4, 3, 1, 2, 2, 5))
    outcomes[..., 0, 0, BALL] = 1.0
    outcomes[..., 0, 1, STRIKE] = 1.0
    outcomes[..., 1, 0, STRIKE] = 1.0
    outcomes[..., 1, 1, STRIKE], outcomes[..., 1, 1, END] = 1.0 - ROBOT_HOMER, ROBOT_HOMER
    ends = np.full((4, 3, 1, 2, 2), 4.0)
    solved = solve_at_bat(outcomes, ends, np.zeros(2, dtype=int), 1.0, 0.0, 0.0)
    chances = np.einsum("bslcko,bslk->bslco", outcomes, solved.looks)
    pitching = Pitching(
        chances.reshape(1, 12, 1, 2, 5),
        np.full((1, 12, 1, 2), 4.0),
        np.zeros((1, 12, 1, 2)),
        np.zeros(2, dtype=np.intp),
        np.array([[1.0, 0.0, 0.0]]),
    )
    at_bats = 60_000
    log = play(pitching, solved.mix[None], np.zeros(at_bats, dtype=np.intp),
               np.random.default_rng(7))  # fmt: skip
    for end, share in ROBOT_SHARES.items():
        error = np.sqrt(share * (1.0 - share) / at_bats)
        assert np.mean(log.end[log.end != GOES_ON] == end) == pytest.approx(share, abs=4.0 * error)
    assert mean_runs(log, at_bats)[0] == pytest.approx(0.648447, abs=0.025)


def test_ways_by_hand_that_meet_one_chance_begin_alike(made: Plan) -> None:
    """Played with generators of one seed, the same calls in a state come to the same."""
    game, tables = made.solved.game, made.solved.tables
    pitching = Pitching.of(game, opponents.habit(game))
    ways = (
        fastball_away(tables, made.given.pitcher),
        league_mix(tables, made.given.league, made.given.around.level.zone),
    )
    up = np.zeros(400, dtype=np.intp)
    one, other = (play(pitching, mix, up, np.random.default_rng(3)) for mix in ways)
    first, second = (log.balls + log.strikes == 0 for log in (one, other))
    alike = one.call[first] == other.call[second]
    assert alike.any()
    assert np.all(one.outcome[first][alike] == other.outcome[second][alike])
