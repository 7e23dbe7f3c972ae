"""The printed draw: a fair sample of the card, nothing told by one cell of another."""

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.stats import chi2

from sequencer.baseball.count import CARD_ROWS
from sequencer.planning.calls import Call
from sequencer.planning.draw import TIMES_UP, Draw, cell, draw
from sequencer.planning.mix import Card

CALLS = (Call("fastball", "in"), Call("changeup", "away"), Call("curveball", "middle"))
GAMES = 3_000
#: As drawn once, to be drawn for good.
KNOWN = [(1, 0, 1, 0), (0, 0, 0, 1), (0, 1, 1, 0), (2, 2, 1, 0), (0, 1, 0, 0), (0, 0, 2, 0)]


def a_card(*tenths: int) -> Card:
    row = tuple(zip(CALLS, tenths, strict=False))
    return Card(dict.fromkeys(CARD_ROWS, row), np.zeros((4, 3, len(CALLS))))


def drawn(card: Card, game: str, hitter: str = "7") -> NDArray[np.intp]:
    one = draw(card, hitter=hitter, game=game)
    return np.array([one[row] for row in CARD_ROWS])


@pytest.fixture(scope="module")
def games() -> NDArray[np.intp]:
    """Draws of many games, (games, cells)."""
    return np.stack([drawn(a_card(5, 3, 2), f"game {n}").ravel() for n in range(GAMES)])


def test_every_cell_is_a_fair_sample_of_its_tenths(
    games: NDArray[np.intp],
) -> None:
    wanted = GAMES * np.array([0.5, 0.3, 0.2])
    cells = games.shape[1]
    counts = np.stack([np.bincount(games[:, k], minlength=3) for k in range(cells)])
    statistic = ((counts - wanted) ** 2 / wanted).sum(axis=1)
    assert statistic.sum() < chi2.ppf(0.999, 2 * cells)
    assert statistic.max() < chi2.ppf(1.0 - 0.001 / cells, 2)


def test_no_cell_tells_of_another(games: NDArray[np.intp]) -> None:
    pairs = list(combinations(range(games.shape[1]), 2))
    total = 0.0
    shares = np.array([0.5, 0.3, 0.2])
    wanted = GAMES * np.outer(shares, shares).ravel()
    for one, other in pairs:
        counts = np.bincount(3 * games[:, one] + games[:, other], minlength=9)
        total += float(((counts - wanted) ** 2 / wanted).sum()) / 8
    # Pairs share cells, so their sum varies more than apart; its mean is what it is for chance.
    assert total / len(pairs) == pytest.approx(1.0, abs=0.1)


def test_no_hitter_tells_of_another_who_shares_his_card() -> None:
    card, same = a_card(5, 3, 2), []
    for n in range(1_000):
        same.append(drawn(card, f"game {n}", "7") == drawn(card, f"game {n}", "12"))
    alike = float(np.mean(same))
    by_chance = 0.5**2 + 0.3**2 + 0.2**2
    assert alike == pytest.approx(by_chance, abs=4.0 * (by_chance / np.size(same)) ** 0.5)


def test_the_draw_is_the_same_again_and_another_for_another_game_seed_or_hitter() -> None:
    card = a_card(4, 3, 3)
    first = draw(card, hitter="7", game="opener")
    assert first == draw(card, hitter="7", game="opener")
    others: list[Draw] = [
        draw(card, hitter="7", game="second"),
        draw(card, hitter="12", game="opener"),
        draw(card, hitter="7", game="opener", seed=1),
    ]
    assert all(one != first for one in others)


def test_a_hitter_and_a_game_do_not_run_together_in_the_seed() -> None:
    card = a_card(4, 3, 3)
    assert draw(card, hitter="71", game="2") != draw(card, hitter="1", game="27")
    assert draw(card, hitter="1", game="12") != draw(card, hitter="2", game="11")


def test_a_known_draw_stays_what_it_was_on_every_machine() -> None:
    one = draw(a_card(5, 3, 2), hitter="7", game="2026-06-06")
    assert [one[row] for row in CARD_ROWS] == KNOWN


@settings(max_examples=50, deadline=None)
@given(st.sampled_from([(10,), (9, 1), (5, 5), (1, 1, 8), (6, 3, 1)]), st.text(), st.integers())
def test_only_calls_of_the_row_are_drawn(tenths: tuple[int, ...], game: str, seed: int) -> None:
    one = draw(a_card(*tenths), hitter="7", game=game, seed=seed)
    assert set(one) == set(CARD_ROWS)
    for places in one.values():
        assert len(places) == TIMES_UP
        assert all(0 <= place < len(tenths) for place in places)


def test_a_repeat_moves_one_column_right_and_comes_round_again() -> None:
    one = draw(a_card(4, 3, 3), hitter="7", game="opener")
    row = one["behind"]
    assert [cell(one, "behind", 1, repeat) for repeat in range(5)] == [*row, row[0]]
    assert cell(one, "behind", 4, 1) == row[0]
    assert cell(one, "behind", 5) == row[0]
