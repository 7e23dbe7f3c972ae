"""Cards: searched within their limits, valued exactly, cheap to carry."""

from dataclasses import replace
from functools import cache
from itertools import product

import numpy as np
import pytest

from sequencer.baseball.count import CARD_ROWS, Count
from sequencer.planning.arrays import Floats
from sequencer.planning.at_bat import AtBatTables, at_bat_tables, evaluate_tables
from sequencer.planning.calls import CoachRules
from sequencer.planning.carried import ROW_OF, card_games
from sequencer.planning.context import context, game_for
from sequencer.planning.mix import MOST, TENTHS, Card, card, cards, menu, mix_of, simplicity_cost
from sequencer.planning.pairs import met_by_habit, pair_used_most
from sequencer.planning.solved import WITHIN, Solved, solve
from tests.planning.cards import a_line_up, a_thrower
from tests.planning.plan_people import a_hitter, a_league, a_pitcher

LEVEL = "17-18"


@cache
def a_game(trust: float = 0.0, last_pitch: bool = True) -> Solved:
    """Four hitters, three pitches, well aimed."""
    pitcher = a_thrower(LEVEL, ("fastball", "changeup", "curveball"), 0.8)
    around = context(LEVEL, coach=CoachRules(last_pitch=last_pitch))
    return solve(game_for(a_line_up(LEVEL)[:4], pitcher, a_league(LEVEL), around), trust)


@cache
def found(trust: float = 0.0) -> list[Card]:
    return cards(a_game(trust))


def test_a_card_keeps_to_its_limits() -> None:
    for one in found():
        assert set(one.rows) == set(CARD_ROWS)
        for row, calls in one.rows.items():
            assert 1 <= len(calls) <= MOST
            assert sum(tenths for _, tenths in calls) == TENTHS
            for count in CARD_ROWS[row]:
                assert one.mix[count].sum() == pytest.approx(1.0)


@pytest.mark.parametrize("trust", [0.0, 0.5])
def test_a_card_costs_at_most_what_a_card_may(trust: float) -> None:
    solved = a_game(trust)
    costs = 100.0 * simplicity_cost(solved.tables, found(trust), solved.guarantee)
    assert costs.max() <= 0.35
    assert costs.mean() <= 0.25
    assert costs.min() >= -100.0 * WITHIN


def test_the_search_values_a_card_as_the_whole_at_bat_does_where_no_last_pitch_matters() -> None:
    solved = a_game(last_pitch=False)
    some = cards(solved)
    exact = evaluate_tables(_over_looks_at_hand(solved), mix_of(some, 1)).value[:, 0, 0, 0]
    games = [games[0] for games in card_games(solved)]
    values = [game.reply(one.mix)[0] for game, one in zip(games, some, strict=True)]
    assert np.allclose(values, exact, atol=1e-12)
    best = evaluate_tables(solved.tables.game(), mix_of(some, 1)).value[:, 0, 0, 0]
    assert ((best >= exact - 1e-12) & (best <= exact + 2e-4)).all()


def _over_looks_at_hand(solved: Solved) -> AtBatTables:
    """The whole game, but for looks that the solution never needed."""
    tables = solved.tables
    return at_bat_tables(
        tables.outcomes, tables.end_runs, tables.next_last, tables.stakes.walk,
        tables.stakes.strikeout, tables.stakes.hit_by_pitch, call_runs=tables.call_runs,
    )  # fmt: skip


def test_the_search_values_a_card_as_far_as_the_book_is_trusted() -> None:
    solved = a_game(0.5, last_pitch=False)
    some = cards(solved)
    mix = mix_of(some, 1)
    leaning, safe = zip(*card_games(solved), strict=True)
    values = [one.reply(his.mix)[0] for one, his in zip(leaning, some, strict=True)]
    assert np.allclose(values, _best_reply_leaning(solved, mix), atol=1e-10)
    exact = evaluate_tables(_over_looks_at_hand(solved), mix).value[:, 0, 0, 0]
    values = [one.reply(his.mix)[0] for one, his in zip(safe, some, strict=True)]
    assert np.allclose(values, exact, atol=1e-12)


def _best_reply_leaning(solved: Solved, mix: Floats) -> Floats:
    """Value by a long loop: the habit with the trust's chance, else the best look, each pitch."""
    tables = solved.tables
    values = np.zeros((len(mix), 5, 4))
    values[:, 4], values[:, :, 3] = tables.stakes.walk, tables.stakes.strikeout
    ends = tables.outcomes[..., 3] * tables.end_runs + tables.call_runs
    ends = ends + tables.outcomes[..., 4] * tables.stakes.hit_by_pitch
    ends, goes_on = ends[:, :, :, 0], np.ascontiguousarray(tables.outcomes[:, :, :, 0, ..., :3])
    for _ in range(60):
        for balls, strikes in product(range(4), range(3)):
            here = np.s_[:, balls, strikes]
            fouled = values[:, balls, strikes + (strikes < 2)]
            nexts = [values[:, balls + 1, strikes], values[:, balls, strikes + 1], fouled]
            runs = ends[here] + (goes_on[here] @ np.stack(nexts, 1)[:, None, :, None])[..., 0]
            looks = np.einsum("hc,hcl->hl", mix[here][:, 0], runs)
            usual = (looks * tables.habit[here][:, 0]).sum(axis=-1)
            values[:, balls, strikes] = 0.5 * usual + 0.5 * looks.max(axis=-1)
    first: Floats = values[:, 0, 0]
    return first


def test_no_other_mix_of_a_rows_calls_is_better_with_the_rest_as_it_is() -> None:
    solved = a_game()
    game, one = card_games(solved)[0][0], found()[0]
    value = game.reply(one.mix)[0]
    for row, calls in one.rows.items():
        places = [solved.tables.calls.index(call) for call, _ in calls]
        for tenths in menu(len(places)).T:
            other = one.mix.copy()
            for count in CARD_ROWS[row]:
                other[count] = 0.0
                other[count][places] = tenths / TENTHS
            assert game.reply(other)[0] >= value - 1e-6


def test_looks_that_were_not_counted_gain_nothing() -> None:
    game, one = card_games(a_game())[0][0], found()[0]
    value, looks = game.reply(one.mix)
    every = {row: np.flatnonzero(game.allowed) for row in CARD_ROWS}
    kept = np.zeros_like(game.played)
    np.put_along_axis(kept, looks[..., None], True, axis=-1)
    rows = {row: one.mix[counts[0]][every[row]][:, None] for row, counts in CARD_ROWS.items()}
    assert game.narrowed(every, kept).value(rows)[0] == pytest.approx(value, abs=1e-12)
    kept[:] = True
    assert game.narrowed(every, kept).value(rows)[0] == pytest.approx(value, abs=1e-12)


def test_a_menu_holds_every_mix_of_at_most_three_once() -> None:
    mixes = menu(4)
    assert (mixes.sum(axis=0) == TENTHS).all()
    assert ((mixes > 0).sum(axis=0) <= MOST).all()
    every = [one for one in product(range(TENTHS + 1), repeat=4) if sum(one) == TENTHS]
    wanted = {one for one in every if sum(part > 0 for part in one) <= MOST}
    assert {tuple(map(int, one)) for one in mixes.T} == wanted
    assert mixes.shape[1] == len(wanted)


def test_a_card_leaning_on_the_book_beats_the_safe_card_when_the_book_is_right() -> None:
    solved = a_game(0.5)
    game = solved.tables.game()
    lasts = len(solved.tables.lasts)
    usual = [
        evaluate_tables(game, mix_of(found(trust), lasts), solved.tables.habit).value[:, 0, 0, 0]
        for trust in (0.0, 0.5)
    ]
    assert (usual[1] < usual[0]).sum() >= 3
    assert (usual[0] - usual[1]).mean() > 0.0005


def test_a_card_for_all_is_better_for_all_together_than_anyones_own() -> None:
    games = [game for games in card_games(a_game()) for game in games]
    shared = card(games, a_game().tables.calls)
    total = sum(game.reply(shared.mix)[0] for game in games)
    for own in found():
        assert total <= sum(game.reply(own.mix)[0] for game in games) + 1e-9


def test_a_card_obeys_the_coachs_rules() -> None:
    coach = CoachRules(one_half="away", first_pitch_strike=True)
    around = context(LEVEL, coach=coach)
    game = game_for(a_line_up(LEVEL)[:2], a_pitcher(spread=8.0), a_league(LEVEL), around)
    for one in cards(solve(game)):
        calls = [call for row in one.rows.values() for call, _ in row]
        assert all(call.side == "away" for call in calls)
        assert all(coach.allows_in(call, Count(0, 0)) for call, _ in one.rows["first pitch"])


def test_a_pitcher_with_one_pitch_at_one_spot_has_a_card_of_one_call() -> None:
    pitcher = a_pitcher("fastball", spread=14.0)
    solved = solve(game_for([a_hitter()], pitcher, a_league(LEVEL), context(LEVEL)))
    (one,) = cards(solved)
    assert {len(calls) for calls in one.rows.values()} == {1}
    assert simplicity_cost(solved.tables, [one], solved.guarantee)[0] == pytest.approx(0.0)
    assert pair_used_most(solved.tables.calls, met_by_habit(solved), (0,), one) is None


def test_every_count_is_in_its_row() -> None:
    assert set(ROW_OF) == set(product(range(4), range(3)))
    assert all((*count,) in ROW_OF for counts in CARD_ROWS.values() for count in counts)


# the pair to practise


def test_the_pair_to_practise_is_two_speeds_at_one_spot_that_the_card_calls() -> None:
    calls, met = a_game().tables.calls, met_by_habit(a_game())
    for hitter, one in enumerate(found()):
        pair = pair_used_most(calls, met, (hitter,), one)
        if pair is None:
            continue
        called = {call for row in one.rows.values() for call, _ in row}
        assert set(pair) <= called
        assert pair[0].target == pair[1].target
        assert (pair[0].family == "fast") != (pair[1].family == "fast")


def test_the_pair_follows_the_counts_that_come_after_one_another() -> None:
    solved = a_game()
    calls = solved.tables.calls
    fast = next(c for c, call in enumerate(calls) if str(call) == "fastball middle")
    soft = next(c for c, call in enumerate(calls) if str(call) == "changeup middle")
    mix = np.zeros((4, 3, len(calls)))
    mix[..., fast] = 1.0
    mix[0, 0] = 0.0
    mix[0, 0, soft] = 1.0
    one = replace(found()[0], mix=mix)
    assert pair_used_most(calls, met_by_habit(solved), (0, 1), one) == (calls[soft], calls[fast])
