"""Guess rate tonight: quiet without a habit, loud with one, and honest when there is little."""

import numpy as np
import pytest

from sequencer.estimates.next_pitch import Watched, watched_in
from sequencer.live.guess_rate import BEING_READ, Tonight, guess_rate
from tests.review import simulate


def with_two_strikes(extra: float) -> simulate.Habit:
    return simulate.plant(lambda now, _p: now["strikes"] == 2, "pitch", "curveball", extra)


def tonight(seed: int, habit: simulate.Habit = simulate.no_habit, pitches: int = 90) -> Watched:
    return watched_in(simulate.log(pitches, seed=seed, habit=habit, per_game=pitches))


def test_without_a_habit_he_is_seldom_called_read() -> None:
    read = [guess_rate(tonight(seed), tonight(seed + 500)).being_read for seed in range(60)]
    assert sum(read) <= 60 / BEING_READ


def moving(seed: int) -> tuple[Watched, Watched]:
    """Return ten nights and one more of a pitcher whose mix moves from night to night."""
    frame = simulate.log(990, seed=seed, per_game=90, drift=0.8)
    return watched_in(frame.iloc[900:]), watched_in(frame.iloc[:900])


def test_a_mix_that_moves_from_night_to_night_is_not_being_read() -> None:
    # against the mix of all his games, this evidence passed twenty on 44 such nights in 100
    told = [guess_rate(*moving(seed)) for seed in range(80)]
    ever = [max(rate.evidence) >= BEING_READ for rate in told]
    assert sum(ever) <= 80 / BEING_READ
    assert np.mean([min(rate.evidence[-1], BEING_READ) for rate in told]) < 1.5


def test_pitch_by_pitch_it_is_what_all_at_once_gives() -> None:
    habit = with_two_strikes(0.7)
    frame = simulate.log(60, seed=6, habit=habit, per_game=60).assign(game="tonight")
    past = watched_in(simulate.log(200, seed=7, habit=habit))
    for earlier in (past, None):
        night = Tonight(earlier)
        for pitches in range(61):
            today = watched_in(frame.head(pitches))
            told, whole = night.rate(today), guess_rate(today, earlier)
            # a type not yet thrown is unknown to both
            assert told.evidence == pytest.approx(whole.evidence)
            assert (told.named, told.constant) == (whole.named, whole.constant)
            assert told.says == whole.says


def test_a_pitch_undone_or_corrected_is_read_anew() -> None:
    frame = simulate.log(40, seed=6, per_game=40).assign(game="tonight")
    past = watched_in(simulate.log(200, seed=7))
    night = Tonight(past)
    night.rate(watched_in(frame))
    undone = watched_in(frame.head(30))
    assert night.rate(undone).evidence == pytest.approx(guess_rate(undone, past).evidence)
    corrected = watched_in(frame.assign(pitch=["splitter", *frame["pitch"].iloc[1:]]))
    assert night.rate(corrected).evidence == pytest.approx(guess_rate(corrected, past).evidence)


@pytest.mark.parametrize("past", [None, watched_in(simulate.log(200, seed=7))])
def test_a_type_that_was_corrected_away_is_as_if_it_had_never_been_thrown(
    past: Watched | None,
) -> None:
    frame = simulate.log(40, seed=3, per_game=40).assign(game="tonight")
    mistaken = watched_in(frame.assign(pitch=["splitter", *frame["pitch"].iloc[1:]]))
    night = Tonight(past)
    night.rate(mistaken)
    right = watched_in(frame)
    assert night.rate(right).evidence == pytest.approx(guess_rate(right, past).evidence)


def test_a_strong_habit_of_past_games_is_read_tonight() -> None:
    habit = with_two_strikes(0.7)
    past = watched_in(simulate.log(600, seed=1, habit=habit))
    rate = guess_rate(tonight(2, habit), past)
    assert rate.being_read
    assert rate.named is not None
    assert rate.constant is not None
    assert rate.named > rate.constant
    assert "being read" in rate.says


def test_past_games_bear_on_what_is_named_but_not_on_tonights_evidence() -> None:
    habit = with_two_strikes(0.7)
    past = watched_in(simulate.log(600, seed=1, habit=habit))
    first = guess_rate(tonight(2, habit, pitches=1), past)
    assert len(first.evidence) == 1
    assert 0.3 < first.evidence[0] < 3


def test_a_few_pitches_say_nothing() -> None:
    rate = guess_rate(tonight(1, pitches=10))
    assert (rate.named, rate.constant) == (None, None)
    assert "too few" in rate.says
    none = guess_rate(Watched.none())
    assert (none.pitches, none.evidence) == (0, ())


def test_the_evidence_starts_even_and_grows_pitch_by_pitch() -> None:
    frame = simulate.log(90, seed=4, per_game=90)
    whole, part = guess_rate(watched_in(frame)), guess_rate(watched_in(frame.head(40)))
    assert whole.evidence[:40] == pytest.approx(part.evidence)
    assert whole.evidence[0] == pytest.approx(1.0)
    assert all(value > 0 for value in whole.evidence)
