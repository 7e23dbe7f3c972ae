"""A pitcher who follows his plan is right in what he does and worth nothing to a reader."""

import numpy as np
import pandas as pd
import pytest

from sequencer.baseball.count import START, after
from sequencer.planning.plan import Plan, plan
from sequencer.reports.against_plan import shares_of, stakes_of
from sequencer.review.review import review
from tests.planning.plan_people import a_hitter, a_league, a_pitcher

HITTERS = ("Moss", "Pike")


@pytest.fixture(scope="module")
def planned() -> Plan:
    men = [a_hitter(name=name, bats="RL"[i]) for i, name in enumerate(HITTERS)]
    return plan(men, a_pitcher(), a_league())


def thrown(planned: Plan, at_bats: int, seed: int, *, follow: bool = True) -> pd.DataFrame:
    """Calls drawn from the plan, or the same call in every hitter's count."""
    rng = np.random.default_rng(seed)
    calls, next_last = planned.solved.tables.calls, planned.solved.tables.next_last
    rows = []
    for at_bat in range(at_bats):
        hitter, count, last, number = at_bat % len(HITTERS), START, 0, 0
        while True:
            number += 1
            mix = planned.solved.mix[hitter, count.balls, count.strikes, last]
            stubborn = not follow and count.balls > count.strikes
            choice = len(calls) - 1 if stubborn else int(rng.choice(len(calls), p=mix / mix.sum()))
            result = str(
                rng.choice(["ball", "called strike", "foul", "in play"], p=[0.4, 0.25, 0.18, 0.17])
            )
            call = calls[choice]
            rows.append(
                {
                    "game": f"game {at_bat // 15}",
                    "at_bat": at_bat % 15 + 1,
                    "pitch_no": number,
                    "balls": count.balls,
                    "strikes": count.strikes,
                    "pitcher": planned.pitcher,
                    "hitter": HITTERS[hitter],
                    "bats": "RL"[hitter],
                    "called": call.pitch,
                    "target": call.target,
                    "pitch": call.pitch,
                    "result": result,
                    "play": "out" if result == "in play" else "",
                }
            )
            last = int(next_last[choice])
            step = after(count, result)
            if step.end:
                break
            count = step.count
    return pd.DataFrame(rows)


def test_on_plan_every_habit_is_right_and_a_reader_gains_nothing(planned: Plan) -> None:
    gained, right = [], []
    for seed in range(4):
        frame = thrown(planned, 150, seed)
        found = review(frame, plans=shares_of([planned]), stakes=stakes_of(frame, [planned]))
        (one,) = found.pitchers
        right += [each.right for each in one.findings if each.flagged]
        assert len(one.fixes) <= right.count(False)
        assert one.worth.runs_per_100 is not None
        gained.append(one.worth.runs_per_100)
    # what is flagged was picked for standing out: chance may push a few of them past the plan
    assert len(right) >= 8
    assert right.count(True) >= 0.95 * len(right)
    assert np.mean(gained) <= 3 * np.std(gained) / np.sqrt(len(gained))


def test_off_plan_the_habit_is_not_right_and_a_reader_gains(planned: Plan) -> None:
    frame = thrown(planned, 300, 1, follow=False)
    found = review(frame, plans=shares_of([planned]), stakes=stakes_of(frame, [planned]))
    (one,) = found.pitchers
    assert any(each.flagged and each.right is False for each in one.findings)
    assert one.fixes
    assert one.worth.interval is not None
    assert one.worth.interval[0] > 0


def test_pitches_without_a_target_or_a_plan_are_not_held_against_one(planned: Plan) -> None:
    frame = thrown(planned, 40, 1)
    assert stakes_of(frame.assign(target=""), [planned]) == {}
    assert stakes_of(frame.assign(target_when="after"), [planned]) == {}
    assert stakes_of(frame.assign(hitter="someone else"), [planned]) == {}
    assert shares_of([planned])(planned.pitcher, "someone else", 0, 0, None) is None
    mix = shares_of([planned])(planned.pitcher, "Moss", 0, 0, None)
    assert mix is not None
    assert sum(mix.values()) == pytest.approx(1.0)
