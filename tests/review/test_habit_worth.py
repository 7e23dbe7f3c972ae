"""What one habit costs: nothing where it is the plan's own, runs where it is not."""

import dataclasses

import numpy as np
import pandas as pd
import pytest

from sequencer.baseball.count import HITTERS_COUNTS
from sequencer.review.coded import Coded, encode
from sequencer.review.findings import Finding, look_for
from sequencer.review.habit_worth import drawn_by, habit_worth
from sequencer.review.patterns import by_count, side_by_type
from sequencer.review.worth import Called, Stakes, payoffs
from tests.review import simulate
from tests.review.test_worth import (
    HIT,
    NEXT_LAST,
    STRIKEOUT,
    WALK,
    small_game,
    solved_game,
)

WORDS = (("fastball", "in"), ("curveball", "away"), ("changeup", "away"))
PITCHES = [pitch for pitch, _ in WORDS]


@pytest.fixture(scope="module")
def stakes() -> Stakes:
    game = small_game()
    solved = solved_game(game)
    runs = payoffs(
        **game,
        next_last=NEXT_LAST,
        value=solved.value,
        walk=WALK,
        strikeout=STRIKEOUT,
        hit_by_pitch=HIT,
    )
    return Stakes(runs, solved.looks, solved.mix, WORDS)


def thrown(stakes: Stakes, pitches: int, lean: float, seed: int = 0) -> pd.DataFrame:
    """Pitches drawn from the plan; in hitter's counts the fastball with the chance `lean`."""

    def drawn(
        now: simulate.Situation, rng: np.random.Generator, pitch: dict[str, str]
    ) -> dict[str, str]:
        last = int(now["balls"] + now["strikes"] > 0)
        mix = stakes.mix[0, now["balls"], now["strikes"], last]
        word = PITCHES[int(rng.choice(len(mix), p=mix / mix.sum()))]
        if (now["balls"], now["strikes"]) in HITTERS_COUNTS and rng.random() < lean:
            word = "fastball"
        return {**pitch, "pitch": word, "side": dict(WORDS)[word]}

    return simulate.log(pitches, seed=seed, habit=drawn)


def called_of(log: Coded) -> Called:
    names = [log.words.pitches[code] for code in log.pitch.tolist()]
    return Called(
        hitter=np.zeros(len(log), dtype=np.int64),
        balls=log.balls,
        strikes=log.strikes,
        last=(log.balls + log.strikes > 0).astype(np.int64),
        call=np.array([PITCHES.index(name) for name in names]),
        game=log.game,
        row=log.row,
    )


def fastball_behind(log: Coded) -> Finding:
    findings, _ = look_for(log, seed=0, name="Ames", patterns=(by_count.PATTERN,))
    return next(
        each
        for each in findings
        if each.contrast.condition.where == {"count": "hitter's"}
        and each.contrast.what.get("pitch") == "fastball"
    )


def test_a_habit_costs_runs_and_the_interval_says_so(stakes: Stakes) -> None:
    log = encode(thrown(stakes, 900, lean=0.7))
    cost = habit_worth(fastball_behind(log), log, stakes, called_of(log), np.random.default_rng(0))
    assert cost
    assert cost.interval
    assert cost.runs_per_100 is not None
    assert cost.surely
    assert 0 < cost.interval[0] < cost.runs_per_100 < cost.interval[1]
    assert cost.says.startswith(f"A hitter who knows just this gains {cost.runs_per_100:.2f} runs")


def test_a_stronger_habit_costs_more(stakes: Stakes) -> None:
    costs = []
    for lean in (0.4, 0.9):
        log = encode(thrown(stakes, 1500, lean=lean))
        cost = habit_worth(
            fastball_behind(log), log, stakes, called_of(log), np.random.default_rng(0)
        )
        assert cost
        assert cost.runs_per_100 is not None
        costs.append(cost.runs_per_100)
    assert costs[0] < costs[1]


def test_what_the_plan_itself_throws_costs_nothing(stakes: Stakes) -> None:
    log = encode(thrown(stakes, 900, lean=0.7))
    on_plan = encode(thrown(stakes, 900, lean=0.0, seed=5))
    habit = fastball_behind(log)
    inside = np.flatnonzero(
        np.isin(habit.pattern.classes(on_plan), habit.contrast.condition.members)
    )
    same = dataclasses.replace(habit, rows=inside)
    cost = habit_worth(same, on_plan, stakes, called_of(on_plan), np.random.default_rng(0))
    assert cost
    assert not cost.surely
    assert "cannot be told from nothing" in cost.says


def test_where_each_pitch_goes_is_looked_for_on_every_pitch(stakes: Stakes) -> None:
    log = encode(thrown(stakes, 900, lean=0.0))
    findings, _ = look_for(log, seed=0, name="Ames", patterns=(side_by_type.PATTERN,))
    cost = habit_worth(findings[0], log, stakes, called_of(log), np.random.default_rng(0))
    # every call of the plan names its side already: knowing it is knowing nothing
    assert cost
    assert not cost.surely


def test_without_a_solved_game_or_of_one_game_no_cost_is_told(stakes: Stakes) -> None:
    log = encode(thrown(stakes, 900, lean=0.7))
    habit, rng = fastball_behind(log), np.random.default_rng(0)
    assert habit_worth(habit, log, None, None, rng) is None
    nameless = dataclasses.replace(stakes, calls=())
    assert habit_worth(habit, log, nameless, called_of(log), rng) is None
    placeless = dataclasses.replace(called_of(log), row=None)
    assert habit_worth(habit, log, stakes, placeless, rng) is None
    first = log.only(log.game == 0)
    assert habit_worth(habit, first, stakes, called_of(first), rng) is None


def test_calls_of_another_pitcher_of_the_name_are_left_out(stakes: Stakes) -> None:
    log = encode(thrown(stakes, 900, lean=0.7))
    habit = fastball_behind(log)
    alone = habit_worth(habit, log, stakes, called_of(log), np.random.default_rng(0))
    mine = called_of(log)
    assert mine.row is not None
    columns = [getattr(mine, each.name) for each in dataclasses.fields(mine)]
    doubled = Called(*(np.concatenate([column, column]) for column in columns))
    doubled = dataclasses.replace(doubled, row=np.concatenate([mine.row, mine.row + 10_000]))
    assert habit_worth(habit, log, stakes, doubled, np.random.default_rng(0)) == alone


def test_with_few_games_the_interval_goes_by_at_bats(stakes: Stakes) -> None:
    few = encode(thrown(stakes, 300, lean=0.7))
    many = encode(thrown(stakes, 900, lean=0.7))
    for log, unit in ((few, few.at_bat), (many, many.game)):
        drawn = drawn_by(log, called_of(log))
        assert drawn is not None
        assert np.array_equal(drawn, unit)
    assert drawn_by(few, None) is None
