import numpy as np
import pandas as pd
import pytest

from sequencer.estimates import contact
from sequencer.estimates.contact import runs_of_contact
from sequencer.estimates.fit_data import data_of
from tests import open_data
from tests.estimates import contact_fit
from tests.estimates.simulated import pitches


def at(speed: float, angle: float) -> float:
    return float(runs_of_contact(np.array([speed]), np.array([angle]))[0])


def test_what_every_coach_knows_of_contact() -> None:
    assert at(105, 28) > 1.0, "hard and high is a home run"
    assert at(95, 12) > 0.25, "a hard line drive is a hit"
    assert at(90, 60) == pytest.approx(contact.LEAST_RUNS, abs=0.03), "a high pop is an out"
    assert at(70, 20) > at(90, 32), "a flare falls in front of those who run down a lazy fly"
    assert at(60, -30) < -0.2 < -0.1 < at(105, 2), "ground balls get through when hit hard"


def test_every_ball_is_worth_something_possible() -> None:
    speed, angle = np.meshgrid(np.arange(0.0, 131.0), np.arange(-90.0, 91.0))
    runs = runs_of_contact(speed.ravel(), angle.ravel())
    assert np.isfinite(runs).all()
    assert runs.min() >= contact.LEAST_RUNS and runs.max() <= contact.MOST_RUNS


def test_a_small_slip_of_the_radar_moves_little() -> None:
    speed, angle = np.meshgrid(np.arange(40.0, 115.0), np.arange(-50.0, 70.0))
    runs = [runs_of_contact((speed + by).ravel(), angle.ravel()) for by in (0.0, 0.25)]
    assert np.abs(runs[1] - runs[0]).max() < 0.06


def test_what_is_not_measured_is_not_known() -> None:
    runs = runs_of_contact(np.array([90.0, np.nan, 90.0]), np.array([np.nan, 10.0, 10.0]))
    assert np.isnan(runs[:2]).all() and np.isfinite(runs[2])


def test_a_plane_is_fitted_as_a_plane() -> None:
    rng = np.random.default_rng(0)
    speed, angle = rng.uniform(30, 115, 4000), rng.uniform(-60, 75, 4000)
    runs = 0.01 * (speed - 80) - 0.002 * angle
    found = contact.fitted(speed, angle, runs)
    bends = [np.diff(found, 2, axis=axis) for axis in (0, 1)]
    assert max(np.abs(bend).max() for bend in bends) < 1e-6


def test_a_log_is_fitted_on_the_source_s_value_else_on_contact_else_on_the_play() -> None:
    log = pitches(400, seed=5)
    hit = np.flatnonzero(log["result"] == "in play")[:3]
    for name in ("exit_mph", "launch_deg", "contact_value"):
        log[name] = np.nan
    plain = data_of(log).runs[hit]
    log.loc[hit[:2], ["exit_mph", "launch_deg"]] = (104.0, 27.0)
    log.loc[hit[0], "contact_value"] = 0.33
    runs = data_of(log).runs[hit]
    assert runs[0] == pytest.approx(0.0)
    assert runs[1] == pytest.approx(at(104, 27))
    assert runs[2] == plain[2]
    assert list(data_of(log).air[hit[:2]]) == [1.0, 1.0]


@pytest.mark.skipif(bool(open_data.MISSING), reason=open_data.MISSING)
class TestOnOpenBalls:
    """The errors that the module states, on balls that the surface has not seen."""

    def off(
        self, train: pd.DataFrame, balls: pd.DataFrame, monkeypatch: pytest.MonkeyPatch
    ) -> float:
        surface = contact_fit.surface(train)
        monkeypatch.setattr(contact, "_surface", lambda: surface)
        said = runs_of_contact(balls["exit_mph"].to_numpy(), balls["launch_deg"].to_numpy())
        return float(np.sqrt(np.mean((said - balls["runs"].to_numpy()) ** 2)))

    def test_another_season(self, monkeypatch: pytest.MonkeyPatch) -> None:
        balls = contact_fit.balls_in_play()
        new = balls["source"] == "day_2023"
        assert self.off(balls[~new], balls[new], monkeypatch) == pytest.approx(0.063, abs=0.002)
        assert balls["runs"][new].std() == pytest.approx(0.358, abs=0.002)

    def test_a_hitter_left_out(self, monkeypatch: pytest.MonkeyPatch) -> None:
        balls = contact_fit.balls_in_play()
        old = balls[balls["source"] == "hitters_2019"]
        off = [
            self.off(old[old["hitter"] != one], own, monkeypatch)
            for one, own in old.groupby("hitter")
        ]
        assert float(np.mean(off)) == pytest.approx(0.047, abs=0.004)

    def test_the_committed_surface_is_what_the_fit_gives(self) -> None:
        again = contact_fit.surface(contact_fit.balls_in_play())
        np.testing.assert_allclose(contact._surface(), again, rtol=1e-3, atol=1e-4)
