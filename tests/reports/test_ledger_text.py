"""The ledger's page keeps to 80 columns and says whose the runs were."""

import numpy as np
import pytest

from sequencer.reports.ledger_text import ledger_text, turning_lines, turning_text, verdict
from sequencer.review.coded import encode
from sequencer.review.ledger import PARTS, ledger_of, totals
from sequencer.review.turning_points import TurningPoint, turning_points
from tests.review.random_log import random_log

POINT = TurningPoint(
    game="g",
    inning="3",
    half="top",
    pitcher="Ames",
    hitter="Dell",
    hitter_no="12",
    event="single",
    count="1-1",
    runs=0.55,
    pitches=1,
    pitch="changeup",
    called="changeup",
    target="away",
    cell="belt-middle",
    parts={**dict.fromkeys(PARTS), "call": -0.012, "execution": 0.09, "umpire": 0.0},
    cost_most="execution",
)


def point(cost_most: str, event: str = "single", **parts: float) -> TurningPoint:
    fields = {**POINT.__dict__, "event": event, "cost_most": cost_most}
    return TurningPoint(**{**fields, "parts": {**dict.fromkeys(PARTS), **parts}})


def test_a_hit_is_told_in_one_sentence() -> None:
    assert " ".join(line.strip() for line in turning_lines(POINT)) == (
        "single by #12, 1-1: changeup away asked, down the middle: the miss (+.09), not the call "
        "(-.01)"
    )


@pytest.mark.parametrize(
    ("told", "says"),
    [
        (
            point("call", call=0.03, execution=-0.02, umpire=0.0),
            "the call (+.03), not the miss (-.02)",
        ),
        (
            point("umpire", "walk", call=-0.01, execution=0.2, umpire=0.31),
            "the umpire (+.31), then the miss (+.20), not the call (-.01)",
        ),
        (point("call_and_execution", call_and_execution=1.2), "the pitch (+1.20)"),
        (
            point("outcome", call=-0.001, execution=-0.03),
            "neither the call (+.00) nor the miss (-.03): he hit a good pitch",
        ),
        (point("outcome", "error", call_and_execution=-0.03), "not the pitch (-.03)"),
        (point("outcome", unplaced=0.5), "where it went is not known"),
        (
            point("outcome", call=-0.02, unplaced=0.5),
            "not the call (-.02); where it went is not known",
        ),
    ],
)
def test_the_verdict_names_what_cost_and_what_did_not(told: TurningPoint, says: str) -> None:
    assert verdict(told) == says


def test_another_pitch_than_asked_is_told() -> None:
    crossed = TurningPoint(**{**POINT.__dict__, "pitch": "fastball"})
    assert "changeup away asked, fastball came, down the middle" in " ".join(turning_lines(crossed))


@pytest.mark.parametrize("seed", range(4))
def test_pages_keep_to_80_columns(seed: int) -> None:
    frame = random_log(seed, at_bats=80).assign(hitter="a man of a very long name" * 5)
    frame["pitcher"] = "Ames-of-the-very-very-long-name"
    log = encode(frame)
    ledger = ledger_of(frame, log)
    points = turning_points(ledger, frame, log)
    page = f"{ledger_text(totals(ledger, frame, log))}\n{turning_text(points)}"
    assert max(map(len, page.splitlines())) <= 80


def test_every_sum_stands_with_its_spread() -> None:
    frame = random_log(5, at_bats=80)
    log = encode(frame)
    ledger = ledger_of(frame, log)
    entries = totals(ledger, frame, log)
    page = ledger_text(entries)
    (row,) = (line for line in page.splitlines() if line.startswith("Ames"))
    assert row.count("±") == 1 + sum(entries[3][part] is not None for part in PARTS)


def test_the_page_says_what_the_ledger_cannot_see() -> None:
    frame = random_log(6)
    log = encode(frame)
    ledger = ledger_of(frame, log)
    for by_plan in (False, True):
        page = " ".join(ledger_text(totals(ledger, frame, log), by_plan=by_plan).split())
        assert "cannot see whether calls could be read" in page
        assert ("plan" in page) is by_plan
    page = turning_text(turning_points(ledger, frame, log))
    assert "Whether a call was read cannot be seen here" in " ".join(page.split())


def test_only_what_cost_most_is_told_in_the_order_of_play() -> None:
    frame = random_log(7, at_bats=60)
    log = encode(frame)
    points = turning_points(ledger_of(frame, log), frame, log)
    page = " ".join(turning_text(points, most=3).split())
    assert f"The 3 of {len(points)} that cost us most." in page
    ours = [sum(p.parts[part] or 0.0 for part in PARTS[:4]) for p in points]
    kept = np.sort(np.argsort(ours)[-3:])
    starts = [page.index(" ".join(turning_lines(points[i])[0].split())[:40]) for i in kept]
    assert starts == sorted(starts)


def test_nothing_to_tell_is_no_page() -> None:
    assert ledger_text([]) == ""
    assert turning_text([]) == ""
