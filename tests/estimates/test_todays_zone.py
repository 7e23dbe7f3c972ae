"""Today's called zone: learnt slowly, whichever way pitches were seen, and told with its spread."""

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest

from sequencer.baseball import levels
from sequencer.baseball.zone import HALF_WIDTH_IN
from sequencer.estimates import league as leagues
from sequencer.estimates import todays_zone
from sequencer.estimates.arrays import expit
from sequencer.estimates.todays_zone import FEWEST, learn, usual
from sequencer.estimates.umpires import Edges

LEVEL = "17-18"
LEAGUE = leagues.load(LEVEL)
ZONE = levels.level(LEVEL).zone
MIDDLE, HALF = ZONE.middle_in, ZONE.centre_half_height_in


def game(n: int, edges: Edges, seed: int = 0, cells: bool = False) -> pd.DataFrame:
    """Return n called pitches of an umpire with these edges, many of them near an edge."""
    rng = np.random.default_rng(seed)
    side, height = rng.normal(0.0, 10.0, n).round(2), rng.normal(MIDDLE, 12.0, n).round(2)
    balls, strikes = rng.integers(0, 3, n), rng.integers(0, 2, n)
    u, v = side / HALF_WIDTH_IN, (height - MIDDLE) / HALF
    strike = expit(LEAGUE.called("fast", u, v, balls, strikes, edges)) > rng.random(n)
    frame = pd.DataFrame(
        {
            "pitch": "fastball",
            "bats": "R",
            "balls": balls,
            "strikes": strikes,
            "result": np.where(strike, "called strike", "ball"),
        }
    )
    if cells:
        return frame.assign(cell=[_cell(*place) for place in zip(u, v, strict=True)])
    return frame.assign(side_in=side, height_in=height, seen_from="measured")


def _cell(u: float, v: float) -> str:
    columns = ("off-in", "in", "middle", "away", "off-away")
    rows = ("below", "down", "belt", "up", "above")
    sides = np.array([-1.0, -1 / 3, 1 / 3, 1.0])
    named = ZONE.half_height_in / HALF
    return f"{rows[np.searchsorted(sides * named, v)]}-{columns[np.searchsorted(sides, u)]}"


def test_before_a_pitch_the_zone_is_the_levels_and_a_plan_is_as_it_was() -> None:
    zone = usual(LEVEL)
    assert zone.edges == Edges()
    assert LEAGUE.edges == Edges()
    u, v = np.array([-0.9, 0.0, 1.1]), np.array([0.2, 0.9, -1.1])
    steps = LEAGUE.steps("fast", u, v, 1, 1, 1)
    assert LEAGUE.called("fast", u, v, 1, 1) == pytest.approx(steps.called)


@pytest.mark.parametrize("cells", [False, True])
def test_a_wide_umpire_is_found_in_a_few_games_and_a_usual_one_is_not(cells: bool) -> None:
    wide = learn(usual(LEVEL), game(400, Edges(2.0, 0.0, 0.0), cells=cells), LEAGUE)
    assert wide.mean[0] == pytest.approx(2.0, abs=2.5 * np.sqrt(wide.cov[0, 0]))
    assert wide.mean[0] > 1.0
    same = learn(usual(LEVEL), game(400, Edges(), seed=1, cells=cells), LEAGUE)
    assert np.all(np.abs(same.mean) < 3.0 * np.sqrt(np.diag(same.cov)))


def test_what_is_said_is_as_sure_as_it_claims() -> None:
    inside = 0
    spread = np.sqrt(np.diag(usual(LEVEL).cov))
    for seed in range(40):
        true = np.random.default_rng(seed).normal(0.0, spread)
        zone = learn(usual(LEVEL), game(60, Edges(*true), seed + 100), LEAGUE)
        off = zone.mean - true
        inside += float(off @ np.linalg.solve(zone.cov, off)) < 6.25  # chi-square, 3: 90 %
    assert 31 <= inside <= 40


def test_a_cell_tells_less_than_inches() -> None:
    told = [learn(usual(LEVEL), game(150, Edges(), 3, cells), LEAGUE) for cells in (False, True)]
    assert np.all(np.diag(told[0].cov) < np.diag(told[1].cov))


def test_pitch_by_pitch_is_what_all_at_once_gives() -> None:
    pitches = game(30, Edges(1.0, 1.0, 0.0), 5)
    zone = usual(LEVEL)
    for i in range(len(pitches)):
        zone = learn(zone, pitches.iloc[i : i + 1], LEAGUE)
    whole = learn(usual(LEVEL), pitches, LEAGUE)
    assert zone.mean == pytest.approx(whole.mean, abs=1e-12)
    assert zone.pitches == whole.pitches == 30


def test_the_order_of_pitches_hardly_matters() -> None:
    pitches = game(80, Edges(1.0, -1.0, 0.5), 6)
    one = learn(usual(LEVEL), pitches, LEAGUE)
    other = learn(usual(LEVEL), pitches.iloc[::-1], LEAGUE)
    assert one.mean == pytest.approx(other.mean, abs=0.2 * np.sqrt(one.cov.max()))


@pytest.mark.parametrize(
    "changes",
    [
        {"result": "foul"},
        {"intent": "pitch-out"},
        {"side_in": np.nan, "height_in": np.nan},
        {"balls": 4},
    ],
)
def test_what_is_no_call_or_has_no_place_tells_nothing(changes: dict[str, str | float]) -> None:
    zone = learn(usual(LEVEL), game(20, Edges()).assign(**changes), LEAGUE)
    assert (zone.pitches, zone.edges) == (0, Edges())


def test_few_pitches_say_nothing_and_more_say_it_with_their_spread() -> None:
    few = learn(usual(LEVEL), game(FEWEST - 1, Edges(4.0, 0.0, 0.0)), LEAGUE)
    assert few.says() == f"Zone tonight: from {FEWEST} called pitches on, {FEWEST - 1} so far."
    wide = todays_zone.TodaysZone(np.array([1.1, 0.0, 0.0]), np.eye(3) * 0.8**2, 41)
    assert wide.says() == "Strikes called 1 in wider (sd 1); rests on 41 pitches."
    low = todays_zone.TodaysZone(np.array([0.2, 0.9, -1.0]), np.eye(3) * 0.4**2, 90)
    assert low.says() == "Strikes called 2 in lower (sd 0.5); rests on 90 pitches."
    usual_one = todays_zone.TodaysZone(np.zeros(3), np.eye(3) * 0.5**2, 60)
    assert usual_one.says() == "Strikes called as usual, within 1.5 in; rests on 60 pitches."
    assert len(low.says()) < 78


def test_the_edges_move_what_is_called_and_nothing_else() -> None:
    wide = replace(LEAGUE, edges=Edges(2.0, 1.0, 0.5))
    u, v = np.array([1.15, 0.0]), np.array([0.0, 1.1])
    usual_steps, steps = (one.steps("breaking", u, v, 0, 1, 0) for one in (LEAGUE, wide))
    assert np.all(steps.called > usual_steps.called)
    for name in ("swing", "miss", "foul", "in_play", "hit_by_pitch"):
        assert getattr(steps, name) == pytest.approx(getattr(usual_steps, name))
