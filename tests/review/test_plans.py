"""What plans ask for where a habit holds is the mean over its pitches, one by one."""

import itertools
from collections.abc import Iterator

import numpy as np
import pytest

from sequencer.review.coded import Coded, encode
from sequencer.review.findings import Finding, look_for
from sequencer.review.plans import COVERED_FROM, Mix, Plans, Shown, asked_share, is_what
from sequencer.review.question import type_word
from tests.review import simulate

CALLS = (
    *(("fastball", target) for target in ("up-in", "down-away", "low")),
    *(("curveball", "down-away"), ("changeup", "belt-middle"), ("changeup", "in")),
)
SIDES = {"in": 0, "middle": 1, "away": 2}


def anew(pitcher: str, hitter: str, balls: int, strikes: int, shown: Shown) -> Mix | None:
    """Shares that hang on all that is told, a new mapping each time; none for one hitter."""
    if hitter == "hitter 9":
        return None
    seed = f"{pitcher} {hitter} {balls} {strikes} {shown}".encode()
    shares = np.random.default_rng(list(seed)).dirichlet(np.ones(len(CALLS)))
    return dict(zip(CALLS, shares.tolist(), strict=True))


def kept() -> Plans:
    """The same, one mapping for each question."""
    held: dict[tuple[object, ...], Mix | None] = {}

    def asked(pitcher: str, hitter: str, balls: int, strikes: int, shown: Shown) -> Mix | None:
        key = pitcher, hitter, balls, strikes, shown
        if key not in held:
            held[key] = anew(*key)
        return held[key]

    return asked


def one_by_one(finding: Finding, log: Coded) -> Iterator[float]:
    for row in finding.rows.tolist():
        previous, side = int(log.previous[row]), int(log.previous_side[row])
        word = "middle" if side < 0 else tuple(SIDES)[side]
        shown = None if previous < 0 else (type_word(previous), word)
        mix = anew(*log.names(row), int(log.balls[row]), int(log.strikes[row]), shown)
        if mix is not None:
            calls = {call: share for call, share in mix.items() if meets(finding, log, row, *call)}
            met = [s for c, s in calls.items() if is_what(finding.contrast.what, *c, previous)]
            yield sum(met) / sum(calls.values())


def meets(finding: Finding, log: Coded, row: int, pitch: str, target: str) -> bool:
    column = target.rpartition("-")[2]
    if finding.pattern.label == "side" and column not in SIDES:
        return False
    if finding.pattern.label == "height" and target in ("in", "away"):
        return False
    if finding.pattern.factor == "side of the plate":
        return bool(SIDES.get(column, -1) == log.side[row])
    return finding.pattern.factor != "pitch" or pitch == type_word(int(log.pitch[row]))


@pytest.fixture(scope="module")
def log() -> Coded:
    return encode(simulate.log(500, seed=4))


@pytest.fixture(scope="module")
def findings(log: Coded) -> list[Finding]:
    return look_for(log, seed=0, name="Ames")[0]


def test_the_share_asked_for_is_the_mean_over_the_pitches(
    log: Coded, findings: list[Finding]
) -> None:
    labels = {finding.pattern.label for finding in findings}
    assert labels == {"pitch", "side", "height"}
    for finding, plans in itertools.product(findings, (anew, kept())):
        chances = np.array([*one_by_one(finding, log)])
        share = asked_share(finding, log, plans)
        if len(chances) < COVERED_FROM * len(finding.rows):
            assert share is None
            continue
        assert share is not None
        spread = np.sqrt((chances * (1 - chances)).sum()) / len(chances)
        assert share == pytest.approx((chances.mean(), spread)), finding.pattern.id


def test_plans_that_cover_too_few_pitches_ask_for_nothing(
    log: Coded, findings: list[Finding]
) -> None:
    asked_of = log.words.hitters[:5]

    def few(pitcher: str, hitter: str, balls: int, strikes: int, shown: Shown) -> Mix | None:
        return anew(pitcher, hitter, balls, strikes, shown) if hitter in asked_of else None

    for finding in findings:
        covered = np.mean([log.names(row)[1] in asked_of for row in finding.rows.tolist()])
        assert (asked_share(finding, log, few) is None) == (covered < COVERED_FROM)
    assert len(findings) > 5
