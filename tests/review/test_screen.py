"""The screen: p of single tables, bars, step-down, days that drift."""

import dataclasses

import numpy as np
import pytest
from scipy.special import ndtr, ndtri
from scipy.stats import barnard_exact

from sequencer.review import screen
from sequencer.review.coded import encode
from sequencer.review.findings import look_for
from sequencer.review.patterns import by_count, catcher, hitter_side
from sequencer.review.question import Condition, Contrast, Question, ask
from sequencer.review.screen import DRAWS, Dealer, answer, bars_of, step_down
from tests.review import simulate


def question_of(
    classes: list[int], labels: list[int], *factors: list[int], only: tuple[int, int] | None = None
) -> Question:
    """One contrast for each class and label, or only one of them."""
    rows, columns = max(classes) + 1, max(labels) + 1
    contrasts = []
    for a, b in [only] if only else np.ndindex(rows, columns):
        inside = np.arange(rows) == a
        weights = np.outer(inside, np.arange(columns) == b).astype(float)
        where = Condition({"class": a}, "", (a,))
        contrasts.append(Contrast(where, {"label": b}, "", inside, weights))
    return Question(
        by_count.PATTERN,
        np.arange(len(classes)),
        np.array(classes),
        np.array(labels),
        tuple(map(np.array, factors)),
        tuple(contrasts),
    )


def put(question: Question, seed: int = 1, allowed: float = 0.05) -> screen.Tested | None:
    return answer(question, Dealer(question.usual, np.random.default_rng(seed)), allowed)


@pytest.mark.parametrize(
    ("a", "b", "c", "d"), [(15, 15, 6, 24), (30, 20, 14, 36), (40, 60, 25, 75), (9, 21, 15, 15)]
)
def test_p_of_one_table_is_that_of_the_score_test_by_enumeration(
    a: int, b: int, c: int, d: int
) -> None:
    # scipy's Barnard test with the pooled statistic gives the largest p over all rates; ours is
    # that at the rate seen, so no larger, and near it
    rows, columns = [0] * (a + b) + [1] * (c + d), [0] * a + [1] * b + [0] * c + [1] * d
    found = put(question_of(rows, columns, only=(0, 0)))
    barnard = barnard_exact([[a, b], [c, d]], alternative="greater", pooled=True).pvalue
    assert found is not None
    noise = 4 * np.sqrt(max(found.p, 1e-3) / found.draws) + 2 / found.draws
    assert found.p <= barnard + noise
    assert found.p >= 0.4 * barnard - noise


def test_a_plain_case_draws_every_log_and_a_dull_one_stops_early() -> None:
    first = put(question_of([0] * 30 + [1] * 30, [0] * 28 + [1] * 32))
    second = put(question_of([0, 1] * 30, [0] * 30 + [1] * 30))
    assert first is not None
    assert second is not None
    assert first.draws == DRAWS
    assert first.p == pytest.approx(1 / (1 + DRAWS))
    assert second.draws < DRAWS / 4
    assert second.p > 0.2


def test_what_differs_between_days_only_is_no_habit() -> None:
    classes, labels = [0] * 20 + [1] * 20, [0] * 20 + [1] * 20
    assert put(question_of(classes, labels, classes)) is None


def test_bars_spend_what_is_allowed_and_rise_where_a_habit_stands_out_anyway() -> None:
    rng = np.random.default_rng(5)
    classes = np.repeat([0, 1, 2], [10, 60, 230])
    question = question_of(classes.tolist(), rng.integers(0, 2, 300).tolist())
    variance = question.usual.told_apart(question.classes, question.weights).variance
    usually = np.zeros(question.shape)
    np.add.at(usually, question.classes, question.usual.rates)
    kept = np.arange(len(question.contrasts))
    bars = bars_of(question, kept, usually, variance, 0.01)
    assert ndtr(-bars).sum() == pytest.approx(0.01, rel=1e-3)
    equal = np.full(len(bars), -ndtri(0.01 / len(bars)))
    out = 0.25 * np.sqrt(variance) / 0.25
    assert ndtr(out - bars).sum() >= ndtr(out - equal).sum()


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
