"""Logs whose places are cells or dots seen by eye: scored honestly, fitted without blurring."""

from dataclasses import replace
from pathlib import Path
from typing import Final

import numpy as np
import pandas as pd
import pytest
from click.testing import CliRunner

from sequencer.cli.fit import command
from sequencer.estimates import coefficients, fit, newton, scoring, steps, unsure
from sequencer.estimates.arrays import Floats, expit, logit
from sequencer.estimates.coefficients import STEPS
from sequencer.estimates.doubt import typical
from sequencer.estimates.entries import Entries
from sequencer.estimates.fit_data import Data, data_of
from sequencer.estimates.hitter_rows import rows_of
from sequencer.estimates.league import League, load, shift_between
from tests.estimates.hitters_open import noted
from tests.estimates.simulated import pitches

LEVEL: Final = "17-18"
USUAL = load(LEVEL)
#: A league of wider umpires and wilder swings than the built-in one.
OTHER = replace(
    USUAL,
    shift=replace(
        USUAL.shift, called_edge_in=USUAL.shift.called_edge_in + 0.5, miss=USUAL.shift.miss + 0.5
    ),
)
SHARP = pitches(3000, level=LEVEL, league=OTHER, seed=1)
CELLS = noted(SHARP, 1, LEVEL)


def _dots(frame: pd.DataFrame, seed: int = 0) -> pd.DataFrame:
    """Return a log as it was pointed at from the dugout: whole inches, as far off as they see."""
    rng = np.random.default_rng(seed)
    return frame.assign(
        side_in=np.rint(frame["side_in"] + rng.normal(0.0, 5.0, len(frame))),
        height_in=np.rint(frame["height_in"] + rng.normal(0.0, 3.0, len(frame))),
        seen_from="dugout",
    )


def _entries(data: Data) -> Entries:
    assert data.entries is not None
    return data.entries


def _places(frame: pd.DataFrame, league: League = USUAL) -> tuple[Data, unsure.Places]:
    data = data_of(frame, LEVEL)
    return data, unsure.places_of(data, _entries(data), league)


def _slope(step: str, data: Data, said: Floats) -> scoring.Line:
    which, outcome = steps.used(step, data)
    line = scoring.calibration(outcome[which], said)
    assert line is not None
    return line


# scored


def test_measured_places_are_told_as_they_stand() -> None:
    data = data_of(SHARP.head(500), LEVEL)
    assert data.entries is None
    for step, said in unsure.told(data, OTHER).items():
        rows = data.rows.take(steps.used(step, data)[0])
        np.testing.assert_allclose(said, steps.told(step, rows, OTHER), rtol=1e-12)


@pytest.mark.parametrize("how", ["noted", "dots"])
def test_a_league_is_well_calibrated_on_its_own_pitches_however_they_were_seen(how: str) -> None:
    seen = pitches(12_000, level=LEVEL, seed=3)
    data = data_of(noted(seen, 3, LEVEL) if how == "noted" else _dots(seen), LEVEL)
    told = unsure.told(data, USUAL)
    for step in ("called", "swing", "miss"):
        line = _slope(step, data, told[step])
        assert line.slope == pytest.approx(1.0, abs=2.5 * line.slope_se + 0.02), step
        assert line.intercept == pytest.approx(0.0, abs=3.0 * line.intercept_se), step
        middle = steps.told(step, data.rows.take(steps.used(step, data)[0]), USUAL)
        assert _slope(step, data, middle).slope < 0.85, step


def test_averages_are_those_that_hitters_are_held_against() -> None:
    data = data_of(CELLS, LEVEL)
    told, base = unsure.told(data, USUAL), rows_of(CELLS, "R", USUAL).base
    which = {step: steps.used(step, data)[0] for step in STEPS}
    for i, step in ((1, "miss"), (2, "foul")):
        np.testing.assert_allclose(logit(told[step]), base[which[step], i], atol=1e-6)
    np.testing.assert_allclose(told["in_play"], base[which["in_play"], 3], atol=1e-6)
    np.testing.assert_allclose(told["hit_by_pitch"], expit(base[which["called"] | _hit(data), 4]))
    ready = 1.0 - USUAL.take_share[data.rows.balls, data.rows.strikes]
    np.testing.assert_allclose(told["swing"], ready * expit(base[:, 0]), rtol=1e-6)


def _hit(data: Data) -> "np.ndarray[tuple[int], np.dtype[np.bool_]]":
    return np.asarray(data.result == "hit by pitch")


def test_a_chance_is_averaged_with_what_came_before_it() -> None:
    # Of the pitches in one cell off the plate, those that were taken were farther out.
    log = noted(pitches(30_000, level=LEVEL, seed=5), 5, LEVEL)
    own = (log["cell"] == "belt-off-right") & (log["pitch"] == "fastball")
    data = data_of(log[own], LEVEL)
    which, outcome = steps.used("called", data)
    told = unsure.told(data, USUAL)["called"]
    error = outcome[which].std() / np.sqrt(which.sum())
    assert told.mean() == pytest.approx(outcome[which].mean(), abs=3 * error)
    places = unsure.places_of(replace(data, swung=data.swung & False, took=data.took & False),
                              _entries(data), USUAL)  # fmt: skip
    anyone = steps.every(places.rows, USUAL)["called"][places.at].mean()
    assert anyone > told.mean() + 3 * error


# where they were


def test_every_unsure_pitch_has_places_that_add_up_to_it_and_measured_ones_stay() -> None:
    mixed = pd.concat([SHARP.head(40), CELLS.iloc[40:100]], ignore_index=True)
    data, places = _places(mixed.assign(seen_from=["measured"] * 40 + ["dugout"] * 60))
    np.testing.assert_allclose(np.bincount(places.pitch, places.weight), 1.0)
    assert np.bincount(places.pitch).tolist() == [1] * 40 + [unsure.PLACES] * 60
    np.testing.assert_array_equal(places.rows.u[places.at[:40]], data.rows.u[:40])
    for name in ("family", "balls", "strikes", "same", "left", "season"):
        mine = getattr(places.rows, name)[places.at]
        np.testing.assert_array_equal(mine, getattr(data.rows, name)[places.pitch])


def test_called_strikes_are_placed_nearer_than_balls_of_the_same_cell() -> None:
    one = CELLS.head(1).assign(cell="belt-off-away", pitch="fastball", balls=1, strikes=1)
    far = {}
    for result in ("called strike", "ball", "swinging strike"):
        _, places = _places(one.assign(result=result))
        far[result] = float(places.rows.u[places.at].mean())
    assert far["called strike"] < far["swinging strike"] < far["ball"]
    assert far["called strike"] < 1.2


def test_few_places_stand_for_the_average_over_all() -> None:
    # Whether he swung is not known: then the places are as those a swing is averaged over.
    _, places = _places(CELLS.assign(result="unknown"))
    drawn = np.bincount(
        places.pitch, places.weight * steps.every(places.rows, USUAL)["swing"][places.at]
    )
    told = unsure.told(data_of(CELLS, LEVEL), USUAL)["swing"]
    assert np.sqrt(np.mean((drawn - told) ** 2)) < 0.03
    assert drawn.mean() == pytest.approx(told.mean(), abs=0.005)


def test_places_that_are_alike_are_fitted_as_one_to_the_same_end() -> None:
    data, places = _places(CELLS.head(700))
    which, outcome = steps.used("swing", data)
    sample = places.sample(which, outcome)
    rows, mean, weight = places.gathered(which, outcome)
    assert weight.sum() == pytest.approx(which.sum()) and len(rows) < 0.8 * len(sample.rows)
    start = USUAL.fitted.steps["swing"]
    penalty = steps.precision("swing", start, leaning=True)
    found = []
    for some, y, heavy in ((sample.rows, sample.outcome, sample.weight), (rows, mean, weight)):
        what = steps.problem("swing", some, y, start.side, USUAL.take_share)
        found.append(
            newton.logistic(
                what.design, y, penalty, start.vector(), ceiling=what.ceiling, weight=heavy,
                tolerance=1e-12,
            )
        )  # fmt: skip
    np.testing.assert_allclose(found[0].coefficients, found[1].coefficients, atol=1e-6)
    assert found[0].loss == pytest.approx(found[1].loss, rel=1e-6)
    assert found[0].n == found[1].n == which.sum()


# fitted


def _fitted(frame: pd.DataFrame, *, middles: bool = False) -> League:
    """Return the league fitted on a log, allowing for its places or taking them as they stand."""
    data = data_of(frame, LEVEL)
    with pytest.MonkeyPatch.context() as patch:
        if middles:
            patch.setattr(fit, "data_of", lambda *_: replace(data, entries=None))
        found = fit.fit_league(frame, prior=coefficients.read(), level=LEVEL)
    return League.of(found, shift_between(found, LEVEL), LEVEL)


@pytest.fixture(scope="module")
def fits() -> dict[str, League]:
    """Leagues fitted on pitches as measured, cells and dots, and these two taken for measured."""
    found = {"measured": _fitted(SHARP)}
    for how, log in (("cells", CELLS), ("dots", _dots(SHARP.head(1500)))):
        found |= {how: _fitted(log), f"{how} as they stand": _fitted(log, middles=True)}
    return found


HELD_OUT = data_of(pitches(12_000, level=LEVEL, league=OTHER, seed=77), LEVEL)


@pytest.mark.parametrize("how", ["cells", "dots"])
def test_a_fit_on_unsure_places_tells_measured_pitches_better_than_one_that_takes_them_as_they_are(
    fits: dict[str, League], how: str
) -> None:
    ours, naive, sharp, best, before = (
        unsure.losses(HELD_OUT, league)
        for league in (fits[how], fits[f"{how} as they stand"], fits["measured"], OTHER, USUAL)
    )
    for step in ("called", "swing"):
        assert ours[step] - best[step] < 0.8 * (naive[step] - best[step]), step
    assert ours["hit_by_pitch"] < naive["hit_by_pitch"] + 1e-4
    assert ours["miss"] < naive["miss"] + 0.001
    # Most of what the built-in league lacks of the true one is found, as on measured pitches.
    assert ours["miss"] - best["miss"] < 0.3 * (before["miss"] - best["miss"])
    assert sharp["called"] < ours["called"] < before["called"]


def _edges(league: League) -> Floats:
    """Return how steep the called zone is at its four edges, log odds a zone half."""
    out, nought = np.linspace(0.5, 2.0, 400), np.zeros(400)
    found = []
    for u, v in ((out, nought), (-out, nought), (nought, out), (nought, -out)):
        called = -league.steps("fast", u, v, 1, 1, 1.0).called
        found.append(2.0 / (np.interp(1.0, called, out) - np.interp(-1.0, called, out)))
    return np.array(found)


@pytest.mark.parametrize("how", ["cells", "dots"])
def test_the_edges_of_the_zone_are_not_blurred(fits: dict[str, League], how: str) -> None:
    true, ours, naive = (
        _edges(league).mean() for league in (OTHER, fits[how], fits[f"{how} as they stand"])
    )
    assert 0.9 * true < ours < 1.12 * true
    assert naive < 0.92 * true


def test_unsure_places_leave_more_doubt(fits: dict[str, League]) -> None:
    sharp, cells = typical(fits["measured"]), typical(fits["cells"])
    for step in ("swing", "miss"):
        assert sharp[step] < cells[step] < 3 * sharp[step]


def test_a_log_of_measured_places_is_fitted_on_them_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    def never(*_: object) -> unsure.Places:
        raise AssertionError

    monkeypatch.setattr(fit, "places_of", never)
    said = fit.fit_league(
        SHARP.head(600).assign(seen_from="measured"), prior=coefficients.read(), level=LEVEL
    )
    plain = fit.fit_league(SHARP.head(600), prior=coefficients.read(), level=LEVEL)
    for step in STEPS:
        np.testing.assert_array_equal(said.steps[step].vector(), plain.steps[step].vector())


def test_bench_words_thin_steps_and_unknown_families_leave_finite_coefficients() -> None:
    log = CELLS.head(300).assign(pitch="unknown", cell=["above", "off-in", "up-in"] * 100)
    log = log[log["result"].isin(["ball", "called strike", "swinging strike"])]
    found = fit.fit_league(log, prior=coefficients.read(), level=LEVEL)
    for step in STEPS:
        assert np.isfinite(found.steps[step].vector()).all(), step
    assert found.data["rows"]["foul"] == 0


# said


@pytest.mark.parametrize(
    ("n", "options", "says"),
    [
        (500, [], "each pitch counts everywhere that it may have crossed."),
        (
            2500,
            ["--alone"],
            "alone, the edges come out blurred; without --alone this is allowed for.",
        ),
    ],
)
def test_the_command_says_whether_cells_are_allowed_for(
    n: int, options: list[str], says: str, tmp_path: Path
) -> None:
    path = tmp_path / "chart.csv"
    _numbered(CELLS.head(n)).to_csv(path, index=False)
    out = str(tmp_path / "ours.json")
    done = CliRunner().invoke(command, [str(path), "--out", out, *options], catch_exceptions=False)
    assert f"{n} of {n} places are cells or seen by eye: {says}" in done.output


def _numbered(log: pd.DataFrame) -> pd.DataFrame:
    """Return pitches as at-bats of one each."""
    return log.assign(at_bat=np.arange(len(log)) + 1, pitch_no=1).drop(
        columns=["side_in", "height_in"]
    )
