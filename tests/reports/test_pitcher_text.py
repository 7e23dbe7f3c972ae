"""The page of one pitcher: everything with its spread, what cannot be known said, no nan."""

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest

from sequencer.estimates import command
from sequencer.estimates.pitcher import Alike, PitcherBelief
from sequencer.estimates.platoon import platoon
from sequencer.estimates.separable import separable
from sequencer.estimates.strikes import strikes_of
from sequencer.records.people import Person
from sequencer.reports.lines import WIDTH
from sequencer.reports.pitcher_text import pitcher_text

AMES = Person(id="a", team="Us", name="Ames", throws="R")
TYPES = ("four-seam", "changeup", "curveball")


def _log(n: int, *, types: tuple[str, ...] = TYPES, seed: int = 0) -> pd.DataFrame:
    rng = np.random.default_rng(seed)
    kind = rng.integers(0, len(types), n)
    return pd.DataFrame(
        {
            "pitch": np.array(types, dtype=object)[kind],
            "result": np.where(rng.random(n) < 0.6, "foul", "ball").astype(object),
            "bats": np.where(rng.random(n) < 0.6, "R", "L").astype(object),
            "balls": rng.integers(0, 4, n),
            "strikes": rng.integers(0, 3, n),
            "intent": "",
            "target": "down-middle",
            "target_when": "before",
            "seen_from": "behind plate",
            "side_in": rng.normal(size=n) * 10.0 + 6.0,
            "height_in": rng.normal(size=n) * 10.0 + 25.0,
            "speed_mph": 82.0 - 8.0 * kind + rng.normal(size=n) * 1.5,
        }
    )


def _page(frame: pd.DataFrame | None, pens: pd.DataFrame | None = None) -> str:
    belief = command.believe(AMES, pens, frame, "17-18")
    types = [pitch.pitch for pitch in belief.arsenal]
    return pitcher_text(
        belief,
        strikes_of(frame, pens, "17-18", types),
        separable(frame, types),
        platoon(belief, frame),
    )


@pytest.mark.parametrize("n", [0, 1, 6, 60, 600])
def test_a_page_is_whole_and_narrow_however_much_is_logged(n: int) -> None:
    page = _page(_log(n) if n else None)
    assert "nan" not in page and "inf" not in page
    assert all(len(line) <= WIDTH for line in page.splitlines())
    for title in ("Strikes in any count", "in any count", "Right- and left-handed hitters"):
        assert title in page


def test_each_pitch_stands_with_its_share_its_miss_and_what_they_rest_on() -> None:
    frame = _log(600)
    belief = command.believe(AMES, None, frame, "17-18")
    page = _page(frame)
    for pitch in belief.arsenal:
        low, high = (round(100 * share) for share in pitch.strike_interval)
        line = next(one for one in page.splitlines() if one.startswith(f"  {pitch.pitch}"))
        assert f"({low} to {high})" in line
        assert f"{pitch.mean_miss:.0f} (" in line
        assert f" {pitch.charted} " in line and f" {pitch.thrown} " in line
    assert "inches to the catcher's right" in " ".join(page.split())


def test_what_is_unknown_is_said() -> None:
    page = " ".join(_page(None).split())
    assert "cannot be known" in page
    assert "No targets charted yet" in page
    assert "are the level's: none is logged in a game" in page
    assert "0 pitches to right-handers, 0 pitches to left-handers" in page


def test_a_pitcher_with_one_pitch_has_nothing_to_tell_apart() -> None:
    page = _page(_log(40, types=("fastball",)))
    assert "One pitch" in page
    assert "there is nothing to tell apart" in page


def test_how_many_pitches_are_how_many_is_asked_and_answered() -> None:
    page = _page(_log(300))
    assert "Are three pitches three?" in page
    assert "Every pitch of his is told from every other." in page
    assert "Closest of those: " in page


def test_pitches_that_look_the_same_are_named() -> None:
    frame = _log(300)
    frame["speed_mph"] = 80.0
    page = _page(frame)
    assert "No hitter could tell the " in page
    assert "looks the same as" in page and "it counts as" in page


def test_today_and_the_bullpen_stand_under_the_pitch() -> None:
    pen = pd.DataFrame({"pitch": "changeup", "called": "changeup", "strike": [1.0, 0.0, 1.0]})
    assert "    bullpen: 2 strikes in 3 throws with a call" in _page(_log(60), pen)
    belief = command.average("17-18", arsenal=("fastball", "curveball"))
    dead = replace(belief.pitch("curveball"), shelved=True, evidence="1 strike in 9 today")
    shelved = replace(belief, arsenal=(belief.arsenal[0], dead))
    assert "    1 strike in 9 today, shelved" in pitcher_text(shelved)


def test_a_bare_belief_has_a_page_of_its_own() -> None:
    belief = PitcherBelief(
        "A name longer than any page is wide " * 4,
        "L",
        "17-18",
        command.average("17-18").arsenal,
        ("a note",),
        (Alike("fastball", "changeup"),),
    )
    page = pitcher_text(belief)
    assert "(throws left)" in page
    assert "  A note" in page
    assert all(len(line) <= WIDTH for line in page.splitlines())
