"""Chains of balls and strikes, and how often a count ends a plate appearance."""

from math import comb

import pytest

from sequencer.baseball.count import START, Count, after
from sequencer.baseball.count_table import COUNT_TRANSITIONS


def chance_of(end: str, count: Count, strike: float) -> float:
    """Follow every chain of called strikes and balls from a count to one end."""
    total = 0.0
    for result, share in (("called strike", strike), ("ball", 1 - strike)):
        step = after(count, result)
        total += share * (
            float(step.end == end) if step.end else chance_of(end, step.count, strike)
        )
    return total


def pitches_from(count: Count, strike: float) -> float:
    return 1 + sum(
        share * pitches_from(step.count, strike)
        for result, share in (("called strike", strike), ("ball", 1 - strike))
        if not (step := after(count, result)).end
    )


def reaches_full(count: Count, strike: float) -> float:
    if count == Count(3, 2):
        return 1.0
    return sum(
        share * reaches_full(step.count, strike)
        for result, share in (("called strike", strike), ("ball", 1 - strike))
        if not (step := after(count, result)).end
    )


# Exact: a walk is four balls among at most two strikes, sum of C(3+k, k) (1-p)^4 p^k for k to 2;
# a full count three balls and two strikes in any order.
@pytest.mark.parametrize(
    ("strike", "walk", "pitches", "full", "walk_after_strike"),
    [
        (0.50, 0.343750, 4.812500, 0.312500, 0.187500),
        (0.55, 0.255264, 4.677291, 0.275653, 0.131220),
        (0.60, 0.179200, 4.513600, 0.230400, 0.087040),
        (0.62, 0.152715, 4.441727, 0.210928, 0.072563),
        (0.65, 0.117424, 4.328534, 0.181147, 0.054022),
        (0.70, 0.070470, 4.129500, 0.132300, 0.030780),
    ],
)
def test_chains_of_balls_and_strikes_are_the_exact_ones(
    strike: float, walk: float, pitches: float, full: float, walk_after_strike: float
) -> None:
    assert chance_of("walk", START, strike) == pytest.approx(walk, abs=6e-7)
    exact = sum(comb(3 + k, k) * (1 - strike) ** 4 * strike**k for k in range(3))
    assert chance_of("walk", START, strike) == pytest.approx(exact)
    assert chance_of("strikeout", START, strike) == pytest.approx(1 - exact)
    assert pitches_from(START, strike) == pytest.approx(pitches, abs=6e-7)
    assert reaches_full(START, strike) == pytest.approx(full, abs=6e-7)
    assert chance_of("walk", Count(0, 1), strike) == pytest.approx(walk_after_strike, abs=6e-7)


# Tango (29 Nov 2006), Hitting by Count: plate appearances that end on a count, of those that pass
# through it, one season before ours. More are taken deep into the count since: hence
# the width.
@pytest.mark.parametrize(
    ("count", "ended", "passed"),
    [
        ("0-0", 21312, 175638),
        ("1-0", 13604, 72841),
        ("0-1", 16002, 81511),
        ("2-0", 4882, 25514),
        ("1-1", 15772, 68748),
        ("0-2", 13198, 30514),
        ("3-0", 3113, 8131),
        ("2-1", 10118, 37414),
        ("1-2", 23762, 45390),
        ("3-1", 9013, 16168),
        ("2-2", 22761, 37782),
        ("3-2", 22183, 22183),
    ],
)
def test_as_many_plate_appearances_end_on_a_count_as_in_another_season(
    count: str, ended: int, passed: int
) -> None:
    row = COUNT_TRANSITIONS[count]
    leaves = sum(share for to, share in row.items() if to != count)
    ends = sum(share for to, share in row.items() if not to[0].isdigit())
    assert ends / leaves == pytest.approx(ended / passed, abs=0.06)
