"""Minds that learn only from the past, and the reader who weighs them."""

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sequencer.estimates.next_pitch import (
    MINDS,
    PRIOR_PITCHES,
    Seen,
    combine,
    contexts,
    counts_before,
    forward,
    watched_in,
)

rows = st.lists(
    st.tuples(st.integers(0, 2), st.integers(0, 11), st.integers(0, 1), st.integers(-1, 2)),
    min_size=1,
    max_size=40,
)


def seen_of(pitches: list[tuple[int, int, int, int]]) -> Seen:
    label, count, bats, previous = np.array(pitches, dtype=np.int64).T
    columns = {"count": count, "bats": bats, "previous": previous}
    return Seen(label, 3, columns, np.zeros(len(label), dtype=np.int64))


@given(rows)
@settings(max_examples=40, deadline=None)
def test_chances_are_positive_and_sum_to_one(pitches: list[tuple[int, int, int, int]]) -> None:
    chances = forward(seen_of(pitches))
    for each in (*chances.minds.values(), chances.reader):
        assert (each > 0).all()
        assert each.sum(axis=1) == pytest.approx(np.ones(len(pitches)))
    assert chances.weights.sum(axis=1) == pytest.approx(np.ones(len(pitches)))


@given(rows, st.integers(0, 39), st.integers(0, 2))
@settings(max_examples=40, deadline=None)
def test_a_later_pitch_changes_nothing_before_it(
    pitches: list[tuple[int, int, int, int]], at: int, label: int
) -> None:
    at = min(at, len(pitches) - 1)
    changed = [*pitches]
    changed[at] = (label, *pitches[at][1:])
    first, second = forward(seen_of(pitches)), forward(seen_of(changed))
    assert second.reader[: at + 1] == pytest.approx(first.reader[: at + 1])


@given(rows)
@settings(max_examples=40, deadline=None)
def test_counts_before_are_those_of_a_plain_loop(
    pitches: list[tuple[int, int, int, int]],
) -> None:
    seen = seen_of(pitches)
    context = contexts([seen.columns["count"], seen.columns["bats"]])
    counts = counts_before(context, seen.label, 3)
    for i in range(len(pitches)):
        past = [pitches[j][0] for j in range(i) if pitches[j][1:3] == pitches[i][1:3]]
        assert counts[i].tolist() == [past.count(k) for k in range(3)]


def test_a_count_starts_from_the_favourite_and_leaves_it_by_the_stated_weight() -> None:
    # forty fastballs at 0-0, then ten curves at 0-2 after which the count stands against the mix
    pitches = [(0, 0, 0, -1)] * 40 + [(1, 2, 0, -1)] * 10 + [(1, 2, 0, -1)]
    chances = forward(seen_of(pitches))
    favourite = chances.minds["favourite"][-1]
    expected = (10 + PRIOR_PITCHES * favourite[1]) / (10 + PRIOR_PITCHES)
    assert chances.minds["by count"][-1, 1] == pytest.approx(expected)
    assert favourite.argmax() == 0
    assert chances.reader[-1].argmax() == 1


def test_the_first_pitch_of_all_is_an_even_guess() -> None:
    chances = forward(seen_of([(2, 0, 0, -1)]))
    assert chances.reader[0] == pytest.approx(np.full(3, 1 / 3))


def test_the_reader_is_never_much_worse_than_the_best_mind() -> None:
    rng = np.random.default_rng(0)
    label = rng.integers(0, 2, size=400)
    good = np.where(label[:, None] == np.arange(2), 0.7, 0.3)
    given = np.stack([np.full((400, 2), 0.5), good, 1 - good], axis=1)
    reader, weights = combine(given, label)
    at = np.arange(400)
    best = np.log(good[at, label]).sum()
    mine = np.log(reader[at, label]).sum()
    # shares of 1 % at each pitch cost about that in log chance, and finding the mind log 3
    assert best - np.log(3) - 400 * 0.011 < mine <= best
    assert weights[-1].argmax() == 1


def test_on_shuffled_pitches_the_reader_does_no_better_than_the_constant() -> None:
    rng = np.random.default_rng(7)
    skill = []
    for _ in range(40):
        size = 300
        label = rng.choice(3, p=(0.5, 0.3, 0.2), size=size)
        columns = {
            "count": rng.integers(0, 12, size),
            "bats": rng.integers(0, 2, size),
            "previous": np.concatenate(([-1], label[:-1])),
        }
        chances = forward(Seen(label, 3, columns, np.zeros(size, dtype=np.int64)))
        right = chances.right(chances.reader).mean() - chances.right(chances.constant).mean()
        skill.append((right, chances.evidence()[-1]))
    mean = np.mean(skill, axis=0)
    error = np.std(skill, axis=0) / np.sqrt(len(skill))
    assert (mean <= 3 * error).all()


def test_a_habit_is_read() -> None:
    rng = np.random.default_rng(7)
    count = rng.integers(0, 12, 400)
    label = np.where(rng.random(400) < 0.8, count % 2, rng.integers(0, 2, 400))
    columns = {"count": count, "bats": 0 * count, "previous": 0 * count - 1}
    chances = forward(Seen(label, 2, columns, 0 * count))
    assert chances.right(chances.reader)[200:].mean() > 0.8
    assert chances.evidence()[-1] > 20


def test_pitchers_are_read_apart() -> None:
    pitches = [(i % 2, 0, 0, -1) for i in range(40)]
    seen = seen_of(pitches)
    apart = Seen(seen.label, 3, seen.columns, seen.label)
    assert forward(apart).right(forward(apart).constant)[2:].all()


def test_a_log_is_read_without_pitch_outs_and_unknown_types() -> None:
    frame = pd.DataFrame(
        {
            "game": ["a", "a", "a", "a", "b"],
            "at_bat": [1, 1, 1, 2, 1],
            "balls": [0, 0, 0, 0, 0],
            "strikes": [0, 1, 2, 0, 0],
            "pitcher": ["Ames"] * 5,
            "pitch": ["fastball", "curveball", "unknown", "fastball", "curveball"],
            "intent": ["", "", "", "pitch-out", None],
        }
    )
    watched = watched_in(frame)
    seen, names = watched.seen()
    assert names == ("curveball", "fastball")
    assert seen.label.tolist() == [1, 0, 0]
    assert seen.columns["previous"].tolist() == [-1, 1, -1]
    assert seen.columns["count"].tolist() == [0, 1, 0]
    assert len(watched.then(watched)) == 6


def test_an_empty_log_is_read_as_nothing() -> None:
    seen, names = watched_in(
        pd.DataFrame(columns=["game", "at_bat", "balls", "strikes", "pitcher", "pitch"])
    ).seen()
    assert (len(seen), names) == (0, ())
    assert forward(seen).reader.shape == (0, 1)


def test_minds_come_after_the_ones_they_start_from() -> None:
    names = [mind.name for mind in MINDS]
    for i, mind in enumerate(MINDS):
        assert mind.simpler == "" or mind.simpler in names[:i]
