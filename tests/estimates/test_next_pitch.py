"""Minds that learn only from the past, and the reader who weighs them."""

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from sequencer.estimates.fixed_share import most_lost
from sequencer.estimates.minds import COARSER_COUNTS
from sequencer.estimates.next_pitch import (
    MINDS,
    Seen,
    Watched,
    forward,
    known_before,
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


def test_a_count_starts_from_the_favourite_and_leaves_it_by_the_stated_weight() -> None:
    # forty fastballs at 0-0, then ten curves at 0-2 after which the count stands against the mix
    pitches = [(0, 0, 0, -1)] * 40 + [(1, 2, 0, -1)] * 10 + [(1, 2, 0, -1)]
    chances = forward(seen_of(pitches))
    favourite = chances.minds["favourite"][-1]
    expected = (10 + COARSER_COUNTS * favourite[1]) / (10 + COARSER_COUNTS)
    assert chances.minds["by count"][-1, 1] == pytest.approx(expected)
    assert favourite.argmax() == 0
    assert chances.reader[-1].argmax() == 1


def test_the_first_pitch_of_all_is_an_even_guess() -> None:
    chances = forward(seen_of([(2, 0, 0, -1)]))
    assert chances.reader[0] == pytest.approx(np.full(3, 1 / 3))


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


def test_equally_likely_pitches_are_drawn_from() -> None:
    found = forward(seen_of([(2, 0, 0, -1), (1, 0, 0, -1), (1, 0, 0, -1), (1, 0, 0, -1)]))
    # an even guess, one that is wrong, two seen alike, one that is right
    assert found.right(found.constant) == pytest.approx([1 / 3, 0, 1 / 2, 1])


def test_pitchers_are_read_apart() -> None:
    pitches = [(i % 2, 0, 0, -1) for i in range(40)]
    seen = seen_of(pitches)
    apart = Seen(seen.label, 3, seen.columns, seen.label)
    assert (forward(apart).right(forward(apart).constant)[2:] == 1.0).all()


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


@given(rows)
@settings(max_examples=40, deadline=None)
def test_what_is_known_before_is_what_a_plain_loop_finds(
    pitches: list[tuple[int, int, int, int]],
) -> None:
    # here the last number starts a new at-bat, and the third a new game with it
    label, count, game, new = np.array(pitches, dtype=np.int64).T
    at_bat, game = np.cumsum(new > 0), np.cumsum(game * (new > 0))
    known = known_before(label, count // 3, count % 3, at_bat, game)
    for i in range(len(label)):
        mine = [j for j in range(i) if at_bat[j] == at_bat[i]]
        back = [label[j] for j in mine[::-1]] + [-1, -1]
        assert (known["previous"][i], known["second last"][i]) == tuple(back[:2])
        assert known["nth pitch"][i] == len(mine)
        faced = len({at_bat[j] for j in range(i) if game[j] == game[i]} - {at_bat[i]})
        assert known["time through"][i] == min(faced // 9, 3)


def test_what_came_of_a_pitch_is_told_from_the_counts() -> None:
    balls, strikes = np.array([0, 1, 1, 1, 1, 0]), np.array([0, 0, 1, 2, 2, 0])
    at_bat = np.array([0, 0, 0, 0, 0, 1])
    known = known_before(np.zeros(6, dtype=np.int64), balls, strikes, at_bat)
    assert known["came of it"].tolist() == [-1, 0, 1, 1, 2, -1]
    assert known["time through"].tolist() == [-1] * 6
    assert known["card row"].tolist() == [0, 2, 1, 4, 4, 0]


def test_a_count_that_does_not_exist_is_unknown_and_does_no_harm() -> None:
    balls, strikes = np.array([-1, 4, 0, 2]), np.array([0, 0, 3, 1])
    known = known_before(np.array([0, 1, 0, 1]), balls, strikes, np.zeros(4, dtype=np.int64))
    assert known["count"].tolist() == [-1, -1, -1, 7]
    assert known["card row"].tolist()[:3] == [-1, -1, -1]
    seen = Seen(np.array([0, 1, 0, 1]), 2, known, np.zeros(4, dtype=np.int64))
    assert np.isfinite(forward(seen).evidence()).all()


@pytest.mark.parametrize("label", [[0], [0, 0], [0, 1], [0] * 50])
def test_a_pitcher_with_hardly_a_pitch_or_only_one_kind_is_read_without_a_crash(
    label: list[int],
) -> None:
    pitches = [(each, 0, 0, -1) for each in label]
    for labels in (max(label) + 1, 4):
        seen = seen_of(pitches)
        found = forward(Seen(seen.label, labels, seen.columns, seen.group))
        assert np.isfinite(found.evidence()).all()
        assert found.reader.min() > 0
        assert found.reader.sum(axis=1) == pytest.approx(np.ones(len(label)))


def test_pitchers_are_read_as_if_each_were_alone() -> None:
    rng = np.random.default_rng(5)
    label, count, bats, group = rng.integers(0, (3, 12, 2, 3), (200, 4)).T
    seen = Seen(label, 3, {"count": count, "bats": bats}, group)
    found = forward(seen)
    for pitcher in range(3):
        alone = forward(seen.only(group == pitcher))
        assert found.reader[group == pitcher] == pytest.approx(alone.reader)
        assert found.blind[group == pitcher] == pytest.approx(alone.blind)


def test_the_reader_loses_no_more_to_any_mind_than_is_stated() -> None:
    rng = np.random.default_rng(8)
    label, count, bats = rng.integers(0, (3, 12, 2), (500, 3)).T
    found = forward(Seen(label, 3, {"count": count, "bats": bats}, 0 * label))
    mine = found.nats(found.reader).sum()
    for each in found.minds.values():
        assert mine <= found.nats(each).sum() + most_lost(500, len(MINDS)) + 1e-9


def test_losses_are_those_of_scikit_learn() -> None:
    from sklearn.metrics import log_loss

    label = np.random.default_rng(4).integers(0, 3, 300)
    found = forward(seen_of([(int(each), int(each) * 3, 0, -1) for each in label]))
    for chances in (found.reader, found.constant, found.blind):
        expected = log_loss(label, chances, labels=[0, 1, 2])
        assert found.nats(chances).mean() == pytest.approx(expected)


def test_a_mind_from_outside_is_weighed_with_the_rest() -> None:
    seen = seen_of([(i % 3, 0, 0, -1) for i in range(300)])

    def knows(own: Seen) -> NDArray[np.float64]:
        return np.asarray(np.where(own.label[:, None] == np.arange(3), 0.98, 0.01))

    found = forward(seen, outsiders={"knows": knows})
    assert [*found.minds] == [*(mind.name for mind in MINDS), "knows"]
    assert found.weights[-1, -1] > 0.9
    assert found.evidence()[-1] > forward(seen).evidence()[-1]


def test_a_log_without_games_bases_or_score_says_unknown() -> None:
    words, numbers = np.array(["fastball"] * 2), np.zeros(2, dtype=np.int64)
    bare = Watched(words, numbers, numbers, words, words, words)
    at_bat = np.array(["a 1"] * 2)
    assert bare.outs.tolist() == [-1, -1]
    full = Watched(words, numbers, numbers, words, words, at_bat, words, numbers, numbers + 3)
    both = bare.then(full)
    assert both.bases.tolist() == [-1, -1, 3, 3]
    assert both.seen()[0].columns["time through"].tolist() == [-1, -1, 0, 0]


def test_bases_and_lead_are_read_where_a_log_has_them() -> None:
    frame = pd.DataFrame(
        {
            "game": ["a"] * 3,
            "at_bat": [1, 1, 2],
            "balls": [0, 0, 0],
            "strikes": [0, 1, 0],
            "pitcher": ["Ames"] * 3,
            "pitch": ["fastball"] * 3,
            "on_first": ["", "Cole", "0"],
            "on_second": [1, 0, None],
            "on_third": ["", "", "Boyd"],
            "score_us": [1, 1, None],
            "score_them": [3, 0, 0],
            "pitching": ["us", "them", "us"],
            "outs": [0, None, 2],
        }
    )
    watched = watched_in(frame)
    assert watched.bases.tolist() == [2, 1, 4]
    assert watched.lead.tolist() == [-2, -1, 0]
    assert watched.outs.tolist() == [0, -1, 2]
    assert watched.inning.tolist() == [-1] * 3
