"""The permutation screen: exact moments, exact p on small tables, days that drift."""

import dataclasses
from itertools import permutations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import fisher_exact

from sequencer.review.coded import encode
from sequencer.review.findings import look_for
from sequencer.review.patterns import by_count, catcher, hitter_side
from sequencer.review.question import Condition, Contrast, Question, ask
from sequencer.review.screen import SHUFFLES, answer, moments, step_down
from tests.review import simulate


def question_of(classes: list[int], labels: list[int], strata: list[int]) -> Question:
    """One contrast for each class and label."""
    rows, columns = max(classes) + 1, max(labels) + 1
    contrasts = []
    for a in range(rows):
        for b in range(columns):
            inside = np.arange(rows) == a
            weights = np.outer(inside, np.arange(columns) == b).astype(float)
            where = Condition({"class": a}, "", (a,))
            contrasts.append(Contrast(where, {"label": b}, "", inside, weights))
    return Question(
        by_count.PATTERN,
        np.arange(len(classes)),
        np.array(classes),
        np.array(labels),
        np.array(strata),
        tuple(contrasts),
    )


def counts_of(
    question: Question, labels: np.ndarray[tuple[int], np.dtype[np.int64]]
) -> list[float]:
    return [float(c.weights[question.classes, labels].sum()) for c in question.contrasts]


@given(st.lists(st.tuples(st.integers(0, 2), st.integers(0, 1)), min_size=3, max_size=6))
@settings(max_examples=40, deadline=None)
def test_mean_and_variance_are_those_of_all_orders(pairs: list[tuple[int, int]]) -> None:
    classes, labels = [a for a, _ in pairs], [b for _, b in pairs]
    question = question_of([*classes, 0, 2], [*labels, 1, 1], [*([0] * len(pairs)), 1, 1])
    every = [counts_of(question, np.array([*order, 1, 1])) for order in permutations(labels)]
    mean, variance = moments(question)
    assert mean == pytest.approx(np.mean(every, axis=0))
    assert variance == pytest.approx(np.var(every, axis=0), abs=1e-9)


@pytest.mark.parametrize(
    ("a", "b", "c", "d"), [(9, 3, 4, 8), (15, 5, 9, 11), (30, 10, 24, 16), (7, 13, 10, 10)]
)
def test_p_of_a_small_table_is_fishers(a: int, b: int, c: int, d: int) -> None:
    classes = [0] * (a + b) + [1] * (c + d)
    labels = [0] * a + [1] * b + [0] * c + [1] * d
    tested = answer(question_of(classes, labels, [0] * len(classes)), np.random.default_rng(1))
    assert tested is not None
    # both rows are of one size, so that the largest of the four contrasts is Fisher's two sides
    exact = float(fisher_exact([[a, b], [c, d]]).pvalue)
    spread = np.sqrt(exact * (1 - exact) / tested.shuffles)
    assert tested.p == pytest.approx(exact, abs=4 * spread + 2 / tested.shuffles)


def test_a_plain_case_draws_every_shuffle_and_a_dull_one_stops_early() -> None:
    plain = question_of([0] * 30 + [1] * 30, [0] * 28 + [1] * 32, [0] * 60)
    dull = question_of([0, 1] * 30, [0] * 30 + [1] * 30, [0] * 60)
    rng = np.random.default_rng(2)
    first, second = answer(plain, rng), answer(dull, rng)
    assert first is not None
    assert second is not None
    assert first.shuffles == SHUFFLES
    assert first.p == pytest.approx(1 / (1 + SHUFFLES))
    assert second.shuffles < SHUFFLES / 4
    assert second.p > 0.2


def test_labels_never_leave_their_stratum() -> None:
    # what differs between strata only: nothing can move, so there is nothing to find
    classes, labels = [0] * 20 + [1] * 20, [0] * 20 + [1] * 20
    assert answer(question_of(classes, labels, classes), np.random.default_rng(1)) is None


def test_step_down_is_no_smaller_than_each_p_and_keeps_their_order() -> None:
    rng = np.random.default_rng(4)
    shuffled, z = rng.standard_normal((500, 6)), np.array([4.0, 0.1, 2.0, -1.0, 3.0, 0.0])
    stepped = step_down(z, shuffled)
    alone = (1 + (shuffled >= z).sum(axis=0)) / 501
    assert (stepped >= alone - 1e-12).all()
    assert (np.diff(stepped[np.argsort(-z)]) >= 0).all()


def test_days_that_drift_with_the_hitters_do_not_ring() -> None:
    # left-handers only on days when he throws the curve more: no habit to one side
    frame = simulate.log(600, seed=9, per_game=60)
    rng = np.random.default_rng(0)
    day = frame["game"].str.split().str[1].astype(int) % 2
    curve = rng.random(len(frame)) < np.where(day == 1, 0.7, 0.1)
    frame["pitch"] = np.where(curve, "curveball", "fastball")
    frame["bats"] = np.where(rng.random(len(frame)) < np.where(day == 1, 0.8, 0.2), "L", "R")
    log = encode(frame)
    findings, _ = look_for(log, seed=0, name="Ames", patterns=(hitter_side.PATTERN,))
    assert not any(each.flagged for each in findings)
    blind = dataclasses.replace(hitter_side.PATTERN, held=("count",))
    findings, _ = look_for(log, seed=0, name="Ames", patterns=(blind,))
    assert any(each.flagged for each in findings)


def test_catchers_who_share_few_days_cannot_be_told_from_the_days() -> None:
    frame = simulate.log(300, seed=3, per_game=60)
    findings, could_find = look_for(encode(frame), seed=0, name="Ames", patterns=(catcher.PATTERN,))
    assert len(findings) == 1
    assert "catcher and day cannot be told apart" in findings[0].why_not
    assert not findings[0].flagged
    assert could_find == {}


def test_one_game_gives_counts_and_no_verdict() -> None:
    frame = simulate.log(90, seed=3, per_game=90)
    findings, _ = look_for(encode(frame), seed=0, name="Ames")
    assert findings
    assert all(each.p == 1.0 and each.q == 1.0 and each.why_not for each in findings)


def test_one_habit_seen_another_way_is_told_once() -> None:
    habit = simulate.plant(lambda _n, p: p["pitch"] == "changeup", "side", "away", 0.6)
    findings, _ = look_for(encode(simulate.log(900, seed=2, habit=habit)), seed=0, name="Ames")
    flagged = [each for each in findings if each.flagged]
    assert {each.pattern.id for each in flagged} >= {"side by type", "type by side"}
    told = [each for each in flagged if not each.same_as]
    assert len(told) == 1
    assert told[0].contrast.what == {"side": "away"}


def test_a_question_needs_two_classes_and_two_labels() -> None:
    frame = simulate.log(100, seed=1)
    assert ask(by_count.PATTERN, encode(frame.assign(pitch="fastball"))) is None
    assert ask(hitter_side.PATTERN, encode(frame.assign(bats="R"))) is None
