"""The pitches before: chance as simulated, runs of two, habits planted."""

import dataclasses

import numpy as np
import pytest

from sequencer.review.chains import Chain
from sequencer.review.coded import encode
from sequencer.review.findings import look_for
from sequencer.review.patterns import previous, two_in_a_row
from sequencer.review.question import Pattern, ask
from tests.review import simulate

BOTH = pytest.mark.parametrize("pattern", [previous.PATTERN, two_in_a_row.PATTERN])


@BOTH
def test_chance_by_the_usual_rates_is_that_of_logs_drawn_by_them(pattern: Pattern) -> None:
    log = encode(simulate.log(400, seed=8))
    question = ask(pattern, log)
    assert question is not None
    chain = Chain.of(question, log)
    below = np.cumsum(chain.usual.rates, axis=1)
    rng = np.random.default_rng(0)
    draws = (rng.random((3000, len(below)))[:, :, None] > below).sum(axis=2).clip(max=2)
    found = chain.counter(question.weights)(draws.astype(np.int8))
    assert found.mean(axis=0) == pytest.approx(np.zeros(len(question.contrasts)), abs=0.5)
    covariance = chain.covariance(question.weights)
    assert np.cov(found.T) == pytest.approx(covariance, rel=0.15, abs=1.5)
    third = chain.skewness(question.weights) / np.diagonal(covariance) ** 1.5
    skewed = ((found / found.std(axis=0)) ** 3).mean(axis=0)
    # what overlapping pairs have in common is left out: more of it where two come before
    assert skewed == pytest.approx(third, abs=0.2 * pattern.run)


@BOTH
def test_what_each_pitch_adds_comes_to_the_whole(pattern: Pattern) -> None:
    log = encode(simulate.log(300, seed=9))
    question = ask(pattern, log)
    assert question is not None
    chain = Chain.of(question, log)
    whole = chain.counter(question.weights)(chain.labels.astype(np.int8)[None])[0]
    added = [chain.added(weights).sum() for weights in question.weights]
    assert added == pytest.approx(whole, abs=1e-3)


def test_after_two_alike_is_read_within_the_at_bat() -> None:
    log = encode(simulate.log(300, seed=10))
    classes = two_in_a_row.PATTERN.classes(log)
    for i in np.flatnonzero(classes >= 0).tolist():
        assert log.pitch[i - 1] == log.pitch[i - 2] == classes[i]
        assert log.at_bat[i - 2] == log.at_bat[i]
    alike = (log.pitch[1:-1] == log.pitch[:-2]) & (log.at_bat[2:] == log.at_bat[:-2])
    assert (classes >= 0).sum() == alike.sum()


def test_who_never_throws_three_alike_is_found_and_told_by_that() -> None:
    frame = simulate.log(900, seed=11)
    rng = np.random.default_rng(1)
    for i in range(2, len(frame)):
        pitches = frame["pitch"].to_numpy()
        same = frame["at_bat"].iloc[i] == frame["at_bat"].iloc[i - 2]
        if same and pitches[i] == pitches[i - 1] == pitches[i - 2]:
            others = [word for word in simulate.MIX if word != pitches[i]]
            frame.loc[frame.index[i], "pitch"] = rng.choice(others)
    patterns = (dataclasses.replace(two_in_a_row.PATTERN, weight=1.0),)
    findings, _ = look_for(encode(frame), seed=0, name="Ames", patterns=patterns)
    flagged = [each for each in findings if each.flagged]
    assert flagged
    assert any(each.contrast.what == {"repeat": False} for each in flagged)
