"""Shared plans: who shares, what it costs, and that the cost is exact."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from sequencer.planning.calls import CoachRules
from sequencer.planning.carried import card_games
from sequencer.planning.context import context, game_for
from sequencer.planning.mix import Card, cards, simplicity_cost
from sequencer.planning.pooling import MAY_COST, MOST, WORTH_A_PLAN, Pooled, pool, regrets
from sequencer.planning.solved import Solved, solve
from tests.planning.cards import a_line_up
from tests.planning.plan_people import a_hitter, a_league, a_pitcher

LEVEL = "13-14"


@cache
def a_game() -> Solved:
    """A line-up as a team brings one, against the level's own fastball and changeup."""
    pitcher = a_pitcher("fastball", "changeup", level=LEVEL)
    return solve(game_for(a_line_up(LEVEL), pitcher, a_league(LEVEL), context(LEVEL)))


@cache
def own() -> list[Card]:
    return cards(a_game())


@cache
def pooled() -> Pooled:
    return pool(a_game(), own())


def test_everybody_is_on_one_plan_and_there_are_no_more_than_a_child_keeps_apart() -> None:
    on = [hitter for one in pooled().plans for hitter in one.hitters]
    assert sorted(on) == list(range(9))
    assert sum(not one.own for one in pooled().plans) <= MOST
    assert sum(one.own for one in pooled().plans) <= 1
    shared = [len(one.hitters) for one in pooled().plans if not one.own]
    assert shared == sorted(shared, reverse=True)


def test_what_carrying_costs_is_worked_out_again() -> None:
    used = [pooled().plan_of(hitter).card for hitter in range(9)]
    solved = a_game()
    carrying = simplicity_cost(solved.tables, used, solved.guarantee)
    alone = simplicity_cost(solved.tables, own(), solved.guarantee)
    assert np.allclose(pooled().carrying, carrying, atol=1e-12)
    assert np.allclose(pooled().sharing, carrying - alone, atol=1e-12)


def test_sharing_and_simplicity_cost_a_usual_line_up_at_most_what_they_may() -> None:
    assert pooled().carrying.mean() <= MAY_COST
    assert not pooled().too_dear


def test_a_hitter_loses_nothing_by_his_own_card_and_something_by_most_others() -> None:
    regret = regrets(card_games(a_game()), own())
    assert np.allclose(np.diagonal(regret), 0.0)
    assert regret.min() > -1e-5
    assert np.median(regret) > 0.0005


def test_who_is_alone_on_a_plan_has_his_own_card() -> None:
    for one in pooled().plans:
        if len(one.hitters) == 1:
            assert one.card is own()[one.hitters[0]]


def test_fewer_plans_cost_no_less() -> None:
    costs = [float(pool(a_game(), own(), most).carrying.mean()) for most in (1, 2)]
    assert costs[0] >= costs[1] - WORTH_A_PLAN
    assert costs[1] >= float(pooled().carrying.mean()) - 2.0 * WORTH_A_PLAN


def test_hitters_alike_share_one_plan_that_costs_nothing() -> None:
    men = [a_hitter(level=LEVEL, name=f"hitter {n}") for n in range(4)]
    pitcher = a_pitcher("fastball", "changeup", level=LEVEL)
    solved = solve(game_for(men, pitcher, a_league(LEVEL), context(LEVEL)))
    found = pool(solved, cards(solved))
    (one,) = found.plans
    assert one.hitters == (0, 1, 2, 3)
    assert np.allclose(found.sharing, 0.0, atol=2e-5)


@pytest.mark.parametrize("hitters", [1, 2])
def test_a_short_line_up_shares_too(hitters: int) -> None:
    pitcher = a_pitcher("fastball", "changeup", level=LEVEL)
    men = a_line_up(LEVEL)[:hitters]
    solved = solve(game_for(men, pitcher, a_league(LEVEL), context(LEVEL)))
    found = pool(solved, cards(solved))
    assert sorted(h for one in found.plans for h in one.hitters) == list(range(hitters))


def test_nobody_shares_a_card_with_a_call_his_rules_leave_out() -> None:
    men = a_line_up(LEVEL)[:3]
    pitcher = a_pitcher("fastball", "changeup", level=LEVEL, spread=9.0)
    around = context(LEVEL, coach=CoachRules(one_half="away"))
    game = game_for(men, pitcher, a_league(LEVEL), around)
    allowed = game.allowed.copy()
    allowed[1] = ~allowed[1]
    solved = solve(replace(game, allowed=allowed))
    found = pool(solved, cards(solved))
    assert (1,) in [one.hitters for one in found.plans]
    for hitter in range(3):
        mix = found.plan_of(hitter).card.mix
        assert not mix[:, :, ~allowed[hitter]].any()
