"""How far a fitted league may be off: what goes together, errors by cell, resampled fits."""

import json
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sequencer.baseball.pitches import FAMILIES
from sequencer.errors import BadInput
from sequencer.estimates import coefficients, doubt, fit
from sequencer.estimates.arrays import Floats, logit
from sequencer.estimates.calibrate import calibrated_with_draws
from sequencer.estimates.chain import rates
from sequencer.estimates.coefficients import STEPS, Coefficients
from sequencer.estimates.doubt import CELLS_U, CELLS_V, DRAWS, groups_of
from sequencer.estimates.league import League, LevelShift
from sequencer.estimates.surface import SHAPE
from tests.estimates.simulated import pitches

BUILT_IN = coefficients.read()


def _games(log: pd.DataFrame, games: int) -> pd.DataFrame:
    return log.assign(game=[f"g{i % games}" for i in range(len(log))])


@lru_cache(maxsize=4)
def _fit(n: int, games: int = 20) -> Coefficients:
    return fit.fit_league(_games(pitches(n, seed=n), games), prior=BUILT_IN)


def _doubt(found: Coefficients) -> doubt.Doubt:
    assert found.doubt is not None
    return found.doubt


def test_every_step_has_an_error_in_every_cell_and_draws_that_spread_as_far() -> None:
    found = _fit(1200)
    told = _doubt(found)
    for step in STEPS:
        assert told.errors[step].shape == (3, 5, 5)
        assert np.all(told.errors[step] > 0) and np.isfinite(told.errors[step]).all()
        assert told.moves[step].shape == (DRAWS, found.steps[step].vector().size)
        assert told.games[step] == 20 and step not in told.cannot
        ratio = np.std([_said(found, step, k) for k in range(DRAWS)], axis=0) / told.errors[step]
        # Draws made by the chance that the prior's were made by would spread a fifth too far.
        assert 0.85 < np.sqrt(np.mean(ratio**2)) < 1.15, step


def _said(found: Coefficients, step: str, k: int) -> Floats:
    """Return what a resampled fit says at the cells and 1-1, (3, 5, 5), as errors are told."""
    league, (u, v) = League.of(found, LevelShift()).resampled(k), np.meshgrid(CELLS_U, CELLS_V)
    said = np.array([getattr(league.steps(f, u, v, 1, 1, 0.5), step) for f in FAMILIES])
    return logit(said) if step == "hit_by_pitch" else said


def test_called_errors_are_of_what_is_said_of_a_season_not_known() -> None:
    surface, (family, u, v) = BUILT_IN.steps["called"], doubt.cells()
    move = np.random.default_rng(1).normal(size=surface.vector().size)
    moved = surface.with_vector(surface.vector() + move)
    before, after = (
        League.of(replace(BUILT_IN, steps=BUILT_IN.steps | {"called": one}), LevelShift())
        for one in (surface, moved)
    )
    for i, name in enumerate(FAMILIES):
        here = family == i
        said = [one.steps(name, u[here], v[here], 1, 1, 0.5).called for one in (before, after)]
        at = fit.design_at_cells(surface.side, BUILT_IN.umpires)[here]
        np.testing.assert_allclose(at @ move, said[1] - said[0], atol=1e-9)


def test_more_games_make_a_step_surer() -> None:
    few, many = _doubt(_fit(600, 20)), _doubt(_fit(9600, 320))
    for step in ("called", "swing", "miss"):
        # Not a quarter: pitches tell little of log odds where a call is all but settled, and the
        # league leaned on is off by what it is.
        assert np.median(many.errors[step]) < 0.8 * np.median(few.errors[step]), step


def test_an_error_is_the_cells_at_its_centre_and_between_two_on_the_way() -> None:
    told = _doubt(_fit(1200))
    table = told.errors["miss"][1]
    up, across = np.meshgrid(CELLS_V, CELLS_U, indexing="ij")
    np.testing.assert_allclose(told.error("miss", "breaking", across, up), table)
    half = told.error("miss", "breaking", np.array((CELLS_U[1] + CELLS_U[2]) / 2), CELLS_V[3])
    assert half == pytest.approx(table[3, 1:3].mean())
    far = told.error("miss", "breaking", np.array([-9.0, 9.0]), np.array([9.0, -9.0]))
    np.testing.assert_allclose(far, [table[4, 0], table[0, 4]])
    either = told.error("miss", "unknown", across, up)
    np.testing.assert_allclose(either, told.errors["miss"].mean(0))


def test_a_league_tells_its_doubt_where_its_zone_is() -> None:
    found = _fit(1200)
    here = League.of(found, LevelShift())
    wider = League.of(found, LevelShift(called_edge_in=3.0))
    assert here.doubt("called", "fast", 1.0, 0.0) == _doubt(found).error(
        "called", "fast", np.array(1.0), np.array(0.0)
    )
    assert wider.doubt("called", "fast", 1.0, 0.0) != here.doubt("called", "fast", 1.0, 0.0)
    assert wider.doubt("miss", "fast", 1.0, 0.0) == here.doubt("miss", "fast", 1.0, 0.0)
    assert here.doubt("swing", "fast", [0.0, 1.0], 0.0).shape == (2,)


def test_a_resampled_league_is_the_same_every_time_and_another_for_every_number() -> None:
    league = League.of(_fit(1200), LevelShift())
    one, again, other = (league.resampled(k) for k in (3, 3, 4))
    np.testing.assert_array_equal(
        one.fitted.steps["miss"].vector(), again.fitted.steps["miss"].vector()
    )
    assert one.surprise_miss == again.surprise_miss != other.surprise_miss
    assert np.any(one.fitted.steps["miss"].vector() != other.fitted.steps["miss"].vector())
    assert one.level == league.level and one.mix is league.mix


@pytest.mark.parametrize("k", [-1, DRAWS])
def test_a_resampled_fit_that_is_not_there_is_refused(k: int) -> None:
    league = League.of(_fit(1200), LevelShift())
    with pytest.raises(BadInput, match=f"holds {DRAWS} resampled fits and no number"):
        league.resampled(k)


def test_doubt_is_kept_in_the_file_and_a_file_without_it_is_read(tmp_path: Path) -> None:
    found, path = _fit(1200), tmp_path / "ours.json"
    coefficients.save(found, path)
    assert path.stat().st_size < 1_000_000
    told, kept = _doubt(found), _doubt(coefficients.read(path))
    for step in STEPS:
        np.testing.assert_allclose(kept.errors[step], told.errors[step])
        np.testing.assert_allclose(kept.moves[step], told.moves[step])
    np.testing.assert_allclose(kept.take_share, told.take_share)
    assert (kept.by, kept.games, kept.cannot) == (told.by, told.games, told.cannot)
    body = json.loads(path.read_text(encoding="utf-8"))
    del body["doubt"], body["surprise"]
    path.write_text(json.dumps(body), encoding="utf-8")
    old = League.of(coefficients.read(path), LevelShift())
    assert np.isnan(old.doubt("miss", "fast", 0.0, 0.0))
    assert (old.surprise_miss, old.surprise_miss_sd) == (0.30, 0.13)
    with pytest.raises(BadInput, match="holds 0 resampled fits"):
        old.resampled(0)


def test_a_file_whose_draws_do_not_fit_is_no_coefficient_file(tmp_path: Path) -> None:
    path = tmp_path / "ours.json"
    coefficients.save(_fit(1200), path)
    body = json.loads(path.read_text(encoding="utf-8"))
    body["doubt"]["moves"]["miss"].pop()
    path.write_text(json.dumps(body), encoding="utf-8")
    with pytest.raises(BadInput, match="is not a file of league coefficients"):
        coefficients.read(path)


@pytest.mark.parametrize(
    ("game", "why"),
    [
        ("g1", "rests on one game: spread cannot be known"),
        ("", "no games are named: spread cannot be known"),
        (None, "no games are named: spread cannot be known"),
    ],
)
def test_one_game_or_none_named_is_said_and_stays_finite(game: str | None, why: str) -> None:
    log = pitches(300, seed=8).assign(game=game)
    for frame in (log, log.drop(columns="game")) if game is None else (log,):
        told = _doubt(fit.fit_league(frame, prior=BUILT_IN))
        for step in ("called", "swing", "miss"):
            assert told.cannot[step] == why
            assert np.isfinite(told.errors[step]).all() and np.isfinite(told.moves[step]).all()


def test_a_step_with_too_few_pitches_is_as_doubtful_as_the_league_leaned_on() -> None:
    log = _games(pitches(1200, seed=6), 10)
    took = log["result"].isin(["ball", "called strike"])
    takes, swings = (_doubt(fit.fit_league(log[kind], prior=BUILT_IN)) for kind in (took, ~took))
    for told, step in ((takes, "miss"), (swings, "called")):
        assert told.by[step] == "prior" and told.games[step] == 0 and step not in told.cannot
    assert np.median(takes.errors["called"]) < np.median(swings.errors["called"]) < 1.0
    assert np.median(swings.errors["miss"]) < np.median(takes.errors["miss"]) < 1.0


def test_leaning_on_a_doubtful_league_is_more_doubtful() -> None:
    log = _games(pitches(400, seed=6), 10)
    sure = fit.fit_league(log, prior=replace(_fit(600), doubt=None))
    unsure = fit.fit_league(log, prior=_fit(600))
    for step in ("called", "swing", "miss", "in_play"):
        assert np.median(_doubt(unsure).errors[step]) > np.median(_doubt(sure).errors[step])
    # Takes are the prior's: as doubtful as there.
    assert np.ptp(_doubt(sure).take_share, axis=0).max() == 0.0
    takes = _doubt(_fit(600)).take_share
    np.testing.assert_array_equal(_doubt(unsure).take_share, takes)
    assert takes.std(0)[0, 0] > 0.005


def test_alone_the_takes_are_doubtful_too() -> None:
    told = _doubt(fit.fit_league(_games(pitches(2000, seed=21), 20)))
    spread = told.take_share.std(0)
    assert told.take_share.shape == (DRAWS, 4, 3)
    assert np.all((told.take_share >= 0) & (told.take_share <= 1))
    assert 0.005 < spread[0, 0] < 0.2


def test_resampled_fits_of_a_calibrated_league_keep_to_what_is_counted() -> None:
    found = _fit(1200)
    told = _doubt(found)
    moves = {step: move[:1].copy() for step, move in told.moves.items()}
    # A ready hitter of this draw swings less than hitters are counted to: takes cannot mend it.
    moves["swing"][0, 0] -= 0.3
    found = replace(found, doubt=replace(told, moves=moves, take_share=told.take_share[:1]))
    kept = calibrated_with_draws(found)
    league = League.of(kept, LevelShift())
    usual, drawn = rates(league), rates(league.resampled(0))
    for name in ("swing", "miss", "in_play"):
        # Calibration stops after so many rounds; rarely seen counts come last.
        np.testing.assert_allclose(getattr(drawn, name), getattr(usual, name), atol=0.002)
    before = rates(League.of(found, LevelShift()).resampled(0))
    assert np.abs(before.miss - usual.miss).max() > 0.01
    ready = before.swing / (1.0 - told.take_share[0])
    assert np.min((ready - usual.swing)[:, :2]) < -0.02
    np.testing.assert_array_equal(_doubt(kept).errors["miss"], told.errors["miss"])


def test_outcomes_that_a_place_parts_stay_finite() -> None:
    log = _games(pitches(600, seed=4), 6)
    swung = log["result"].isin(["swinging strike", "foul", "in play"])
    away = log["side_in"] > 0
    log.loc[swung & away, ["result", "play"]] = "swinging strike", ""
    log.loc[swung & ~away, ["result", "play"]] = "foul", ""
    told = _doubt(fit.fit_league(log, prior=BUILT_IN))
    for step in STEPS:
        assert np.isfinite(told.errors[step]).all() and np.isfinite(told.moves[step]).all()


def test_who_hit_is_a_way_to_go_together_and_the_unknown_go_with_their_game() -> None:
    frame = pd.DataFrame({"game": ["a", "a", "b", "b", "b"], "hitter": ["x", "", "x", None, " "]})
    groups = groups_of(frame)
    game, hitter = groups.by["game"], groups.by["hitter"]
    assert game.tolist() == [0, 0, 1, 1, 1]
    assert hitter[0] == hitter[2] and hitter[3] == hitter[4]
    assert len({hitter[0], hitter[1], hitter[3]}) == 3
    assert set(groups_of(frame.drop(columns="hitter")).by) == {"game"}


@given(st.lists(st.integers(0, 3), min_size=1, max_size=12), st.integers(1, 400))
def test_no_game_is_longer_than_games_are(games: list[int], each: int) -> None:
    frame = pd.DataFrame({"game": np.repeat([f"g{g}" for g in games], each)})
    number = groups_of(frame).by["game"]
    assert np.bincount(number).max() <= doubt.MOST_IN_A_GAME
    # A group is of one game, and whole games that can be one stay one.
    both = pd.DataFrame({"named": frame["game"], "number": number})
    assert (both.groupby("number")["named"].nunique() == 1).all()
    size = both.groupby("named")["number"].agg(["size", "nunique"])
    assert (size["nunique"][size["size"] <= doubt.MOST_IN_A_GAME] == 1).all()


def test_a_typical_error_is_of_a_chance_but_runs_for_a_ball_in_play() -> None:
    found = League.of(_fit(1200), LevelShift())
    typical = doubt.typical(found)
    assert set(typical) == set(STEPS)
    told = _doubt(_fit(1200))
    assert typical["in_play"] == pytest.approx(np.median(told.errors["in_play"]))
    assert 0.0 < typical["miss"] <= 0.25 * told.errors["miss"].max()
    assert doubt.typical(League.of(replace(_fit(1200), doubt=None), LevelShift())) == {}


def test_cells_are_named_where_they_are() -> None:
    told = _doubt(_fit(1200))
    cells = doubt.by_cell(told, "swing")
    assert len(cells["fast"]) == 25
    assert cells["off-speed"]["down-away"] == told.error(
        "swing", "off-speed", np.array(2 / 3), np.array(-2 / 3)
    )


def test_draws_move_every_part_of_a_surface_that_a_step_has() -> None:
    moves = _doubt(_fit(1200)).moves["miss"]
    assert np.all(moves[:, : len(SHAPE)].std(0) > 0)
