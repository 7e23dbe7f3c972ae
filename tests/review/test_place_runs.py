"""What a place is worth is what the league's steps say there, and nought over a level's pitches."""

from itertools import product

import numpy as np
import pytest

from sequencer.baseball.levels import LEVELS
from sequencer.baseball.pitches import FAMILIES
from sequencer.estimates import league as league_room
from sequencer.estimates.arrays import expit
from sequencer.estimates.blurred import ANYWHERE, cell
from sequencer.estimates.entries import SEEN_FROM, Entries
from sequencer.review.came_to import STATES
from sequencer.review.place_runs import (
    ASKED,
    Codes,
    Floats,
    between,
    league_runs,
    level_states,
    usual_places,
)

MEASURED = SEEN_FROM.index("measured")


def measured(u: Floats, v: Floats) -> Entries:
    nowhere = np.full(len(u), ANYWHERE)
    seen = np.full(len(u), MEASURED)
    return Entries(u, v, np.ones(len(u), dtype=np.bool_), nowhere, nowhere, seen)


def charted(word: str, pitches: int) -> Entries:
    column, row = (np.full(pitches, place) for place in cell(word, "R"))
    unknown, seen = np.full(pitches, np.nan), np.full(pitches, SEEN_FROM.index("behind plate"))
    return Entries(unknown, unknown, np.zeros(pitches, dtype=np.bool_), column, row, seen)


COUNTS: Codes = np.arange(12)


@pytest.mark.parametrize("level", LEVELS)
def test_over_where_a_level_throws_its_pitches_are_worth_nought(level: str) -> None:
    at = league_room.load(level)
    total = np.zeros(12)
    for f, family in enumerate(FAMILIES):
        table = usual_places(level, family, float(at.mix.same_side[f]))
        runs = (table.thrown * table.runs[::4, ::4]).sum((0, 1)) / table.thrown.sum((0, 1))
        total += at.mix.family[f].reshape(12) * runs
    assert np.abs(total - level_states(level)[:12]).max() < 0.004


@pytest.mark.parametrize(("level", "family"), [("pro", "fast"), ("13-14", "off-speed")])
def test_a_place_in_inches_is_worth_what_the_steps_say_there(level: str, family: str) -> None:
    rng = np.random.default_rng(8)
    u, v = rng.uniform(-2.5, 2.5, (2, 200))
    at, states = league_room.load(level), level_states(level)
    each = [(u[i : i + 1], v[i : i + 1]) for i in range(len(u))]
    exact = np.array([league_runs(at, family, 1.0, where, states)[0, 0] for where in each])
    strikes = np.array(
        [
            expit(at.called(family, u[i], v[i], np.arange(4.0)[:, None], np.arange(3.0))).ravel()
            for i in range(200)
        ]
    )
    places = usual_places(level, family, 1.0)
    for count in COUNTS:
        told = places.runs_of(measured(u, v), np.full(200, count))
        assert np.abs(told - exact[:, count]).max() < 0.004
        called = places.called_of(measured(u, v), np.full(200, count))
        assert np.abs(called - strikes[:, count]).max() < 0.012


def test_what_comes_of_a_pitch_is_counted_as_a_scorer_would() -> None:
    at, states = league_room.load("17-18"), level_states("17-18")
    u, v = np.array([0.4]), np.array([-0.7])
    runs = league_runs(at, "breaking", 0.0, (u, v), states)[0, 0]
    worth = dict(zip(STATES, states.tolist(), strict=True))
    for balls, strikes in product(range(4), range(3)):
        steps = at.steps("breaking", u[0], v[0], balls, strikes, 0.0)
        swing, miss, foul, called = (
            float(expit(step)) for step in (steps.swing, steps.miss, steps.foul, steps.called)
        )
        ball = worth["walk" if balls == 3 else f"{balls + 1}-{strikes}"]
        strike = worth["strikeout" if strikes == 2 else f"{balls}-{strikes + 1}"]
        fouled = worth[f"{balls}-{min(strikes + 1, 2)}"]
        taken = called * strike + (1 - called) * ball
        hit = float(steps.hit_by_pitch)
        left = hit * worth["hit by pitch"] + (1 - hit) * taken
        touched = foul * fouled + (1 - foul) * float(steps.in_play)
        expected = swing * (miss * strike + (1 - miss) * touched) + (1 - swing) * left
        assert runs[3 * balls + strikes] == pytest.approx(expected, abs=1e-9)


def test_a_cell_is_worth_something_between_its_places() -> None:
    places = usual_places("17-18", "fast", 0.0)
    middle = places.runs_of(charted("belt-middle", 12), COUNTS)
    inside = np.abs(np.linspace(-3.2, 3.2, 129)) < 0.9
    there = places.runs[inside][:, inside]
    assert (middle > there.min((0, 1))).all()
    assert (middle < there.max((0, 1))).all()
    wide = places.called_of(charted("belt-off-away", 12), COUNTS)
    assert (wide < 0.4).all()
    assert (wide > 0.0).all()


def test_a_pitch_that_nobody_saw_is_worth_nothing_known() -> None:
    places = usual_places("17-18", "fast", 0.0)
    assert np.isnan(places.runs_of(charted("unknown", 12), COUNTS)).all()


def test_points_between_are_those_of_a_cubic() -> None:
    table = ASKED[:, None] ** 3 - 2.0 * ASKED**2 * ASKED[:, None]
    fine = np.linspace(ASKED[0], ASKED[-1], 2 * len(ASKED) - 1)
    exact = fine[:, None] ** 3 - 2.0 * fine**2 * fine[:, None]
    assert np.abs(between(table) - exact)[2:-2, 2:-2].max() < 1e-12
    assert between(table)[::2, ::2] == pytest.approx(table)
