"""The most spread mix among ties: inside its limit, and the one that exact methods find."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from scipy.optimize import minimize

from sequencer.estimates.pitcher import PitcherBelief
from sequencer.planning import every_look
from sequencer.planning.arrays import Floats
from sequencer.planning.calls import CoachRules
from sequencer.planning.context import context, game_for
from sequencer.planning.factored import FactoredGame
from sequencer.planning.least_squares import least_squares
from sequencer.planning.open_games import OpenGames
from sequencer.planning.open_spread import NEAR, spread_open
from sequencer.planning.solved import WITHIN, Solved, solve
from tests.planning.plan_people import LEVEL, a_hitter, a_league, a_pitcher

RNG = np.random.default_rng(21)
MEN = (a_hitter(name="a"), a_hitter(name="b", bats="L", power=1.0, chase=0.7))


@cache
def solved(
    trust: float = 0.0, spread: float = 9.3, many: int = 1, *, no_middle: bool = False
) -> Solved:
    around = context(LEVEL, coach=CoachRules(no_middle=no_middle))
    return solve(game_for(MEN * many, a_pitcher(spread=spread), a_league(), around), trust)


def exact(one: Solved) -> Floats:
    """The mixes of the solution, before any spreading."""
    counts = one.found.by_count
    shape = one.mix[:, 0, 0].shape
    mix = np.zeros(one.mix.shape)
    for (balls, strikes), found in counts.items():
        mix[:, balls, strikes] = found.calls.reshape(shape)
    return mix


def spread(one: Solved, within: float = WITHIN) -> Floats:
    game = one.tables.game(one.trust)
    return spread_open(game, one.found, np.full(len(one.value), within))


def games_at(game: FactoredGame, one: Solved, balls: int, strikes: int) -> OpenGames:
    terms = game.whole_terms(one.found.values, balls, strikes)
    return game.open_games(terms, 3 * balls + strikes)


def worst(one: Solved, mix: Floats) -> Floats:
    """What the best of all looks gets in every state, (hitters, 4, 3, lasts)."""
    game = one.tables.game(one.trust)
    runs = np.empty(mix.shape[:-1])
    for balls, strikes in np.ndindex(4, 3):
        here = mix[:, balls, strikes]
        best, _ = games_at(game, one, balls, strikes).best(here.reshape(-1, mix.shape[-1]))
        runs[:, balls, strikes] = best.max(axis=1).reshape(here.shape[:-1])
    return runs


def evenness(mix: Floats) -> Floats:
    result: Floats = 1.0 / (mix**2).sum(axis=-1)
    return result


@pytest.mark.parametrize("trust", [0.0, 0.5])
@pytest.mark.parametrize("within", [0.0, 1e-5, 5e-4, 1e-2, 1.0])
def test_a_spread_mix_keeps_the_limit_and_is_no_less_spread(within: float, trust: float) -> None:
    one = solved(trust)
    mix = spread(one, within)
    np.testing.assert_allclose(mix.sum(axis=-1), 1.0, rtol=0, atol=1e-12)
    assert (mix >= 0.0).all()
    limit = np.maximum(one.found.values[:, :4, :3] + within, worst(one, exact(one)))
    assert (worst(one, mix) <= limit + NEAR * within + 1e-9).all()
    assert (evenness(mix) >= evenness(exact(one)) - 1e-9).all()


def test_half_a_thousandth_of_a_run_buys_much_spread() -> None:
    one = solved()
    assert evenness(spread(one)).mean() > 1.3 * evenness(exact(one)).mean()


def test_the_mix_is_the_one_that_quadratic_programming_finds_against_every_look() -> None:
    one = solved(spread=10.8)
    game, mixes = one.tables.game(), spread(one)
    for balls, strikes in ((0, 0), (1, 1), (0, 2), (3, 2)):
        games = games_at(game, one, balls, strikes)
        every = np.arange(1 + 2 * every_look.SWINGS)
        columns = games.columns(np.repeat(every[None], len(games.allowed), axis=0))
        limit = one.found.by_count[balls, strikes].value + WITHIN
        over, mix = columns[0] - limit[0], mixes[0, balls, strikes, 0]
        found = quadratic(over[:, (mix @ over).argsort()[-300:]], mix)
        assert (found @ over).max() < 0.1 * WITHIN
        assert evenness(mix) > 0.99 * evenness(found)
        np.testing.assert_allclose(mix, found, rtol=0, atol=0.02)


def quadratic(over: Floats, start: Floats) -> Floats:
    """The least sum of squares with `shares @ over <= 0`, by a general method."""
    slopes = -100.0 * over.T
    found = minimize(
        lambda x: (x @ x / 2.0, x),
        start,
        jac=True,
        bounds=[(0.0, 1.0)] * len(start),
        constraints=[
            {"type": "eq", "fun": lambda x: x.sum() - 1.0},
            {"type": "ineq", "fun": lambda x: slopes @ x, "jac": lambda _: slopes},
        ],
        method="SLSQP",
        options={"maxiter": 500, "ftol": 1e-15},
    )
    shares: Floats = found.x
    return shares


def test_least_squares_are_those_of_a_general_method_with_prices_where_a_limit_binds() -> None:
    families = RNG.normal(0.0, 0.03, size=(6, 3, 20)).repeat(4, axis=1)
    games = families + RNG.normal(0.0, 0.002, size=(6, 12, 20))
    limit = games.mean(axis=1).max(axis=1)
    mask = np.ones((6, 12), dtype=bool)
    mask[:, 5] = False
    over = games - limit[:, None, None]
    mixes, prices = least_squares(over, mask)
    assert (mixes[:, 5] == 0.0).all()
    met = np.einsum("gc,gcl->gl", mixes, over)
    assert (met < 1e-7).all()
    assert (np.abs(met[prices > 1e-3]) < 1e-7).all()
    for g in range(6):
        found = quadratic(over[g][mask[g]], mixes[g][mask[g]])
        np.testing.assert_allclose(mixes[g][mask[g]], found, rtol=0, atol=1e-5)


@pytest.mark.parametrize("share", [0.04, np.nan], ids=["too wide", "not a number"])
def test_what_breaks_the_limit_is_drawn_back_or_dropped(
    share: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    one = solved()
    monkeypatch.setattr(
        "sequencer.planning.open_spread.least_squares",
        lambda over, on: (
            on * share / (on * share).sum(axis=1, keepdims=True),
            np.zeros(over.shape[::2]),
        ),
    )
    mix = spread(one)
    limit = np.maximum(one.found.values[:, :4, :3] + WITHIN, worst(one, exact(one)))
    assert (worst(one, mix) <= limit + NEAR * WITHIN + 1e-9).all()
    wider = evenness(mix) > evenness(exact(one)) + 1e-9
    assert wider.mean() > 0.5 if share == share else not wider.any()


def test_a_mix_that_is_less_spread_is_dropped(monkeypatch: pytest.MonkeyPatch) -> None:
    one = solved()
    monkeypatch.setattr(
        "sequencer.planning.open_spread.least_squares",
        lambda over, _: (np.eye(over.shape[1])[:1].repeat(len(over), axis=0), over[:, 0]),
    )
    assert (evenness(spread(one, 1.0)) >= evenness(exact(one)) - 1e-12).all()


def test_calls_alike_in_all_share_alike_whatever_their_order() -> None:
    def of(*arsenal: str) -> tuple[Solved, dict[tuple[str, str], int]]:
        found = solve(game_for(MEN[:1], twins(*arsenal), a_league(), context(LEVEL)))
        return found, {
            (call.pitch, call.target): place for place, call in enumerate(found.tables.calls)
        }

    def twins(*arsenal: str) -> PitcherBelief:
        thrown = a_pitcher(*arsenal, spread=10.8)
        soft = next(p for p in thrown.arsenal if p.family == "off-speed")
        alike = (replace(soft, pitch=p.pitch) if p.family == "off-speed" else p
                 for p in thrown.arsenal)  # fmt: skip
        return replace(thrown, arsenal=tuple(alike))

    one, places = of("fastball", "changeup", "splitter")
    other, turned = of("splitter", "fastball", "changeup")
    after = [other.tables.lasts.index(name) for name in one.tables.lasts]
    mix, again = spread(one), spread(other)[:, :, :, after]
    for (pitch, target), place in places.items():
        np.testing.assert_allclose(
            mix[..., place], again[..., turned[pitch, target]], rtol=0, atol=2e-2
        )
        if pitch == "splitter":
            twin = mix[..., places["changeup", target]]
            np.testing.assert_allclose(mix[..., place], twin, rtol=0, atol=1e-4)


def test_calls_that_are_not_allowed_stay_at_exactly_nought() -> None:
    one = solved(no_middle=True)
    assert not one.tables.allowed.all()
    mix = spread(one, 1e-3)
    assert (np.moveaxis(mix, 0, -2)[..., ~one.tables.allowed] == 0.0).all()


def test_a_mix_hangs_little_on_who_else_is_spread() -> None:
    alone, among = spread(solved()), spread(solved(many=4))
    for first in range(0, 8, 2):
        np.testing.assert_allclose(among[first : first + 2], alone, rtol=0, atol=2e-2)
