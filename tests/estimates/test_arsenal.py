"""How often a pitch is shelved by bad luck, and how soon one that is not there: exact sums."""

import numpy as np
import pytest
from scipy import stats

from sequencer.estimates import command
from sequencer.estimates.arsenal import updated
from sequencer.estimates.pitcher import PitchBelief


def _shelved(pitch: PitchBelief, n: int) -> list[list[bool]]:
    """Whether so many strikes in so many pitches shelve it, by pitches and strikes."""
    return [[updated(pitch, s, m).shelved for s in range(m + 1)] for m in range(n + 1)]


def _ever(rule: list[list[bool]], share: float) -> "np.ndarray[tuple[int], np.dtype[np.float64]]":
    """Chance to have been shelved by each pitch of a game, judged after every one."""
    held, out, total = np.array([1.0]), [], 0.0
    for shelved in rule[1:]:
        now = np.append(held * (1.0 - share), 0.0) + np.append(0.0, held * share)
        total += float(now[shelved].sum())
        held = np.where(shelved, 0.0, now)
        out.append(total)
    return np.array(out)


def _curveball() -> PitchBelief:
    return command.average("17-18", arsenal=("fastball", "curveball")).pitch("curveball")


RULE = _shelved(_curveball(), 40)


def test_a_usual_pitch_is_shelved_for_nothing_in_one_game_of_twenty() -> None:
    usual = _curveball().strike_share
    # Days differ: 15 equal slices of a Beta of weight 40.
    days = stats.beta(40 * usual, 40 * (1 - usual)).ppf((np.arange(15) + 0.5) / 15)
    chance = np.mean([_ever(RULE, float(share)) for share in days], axis=0)
    assert chance[9] < 0.03
    assert 0.03 < chance[19] < 0.06
    assert chance[29] < 0.09


@pytest.mark.parametrize(("points", "half_by"), [(0.25, 20), (0.35, 12)])
def test_a_pitch_that_is_not_there_is_shelved_soon(points: float, half_by: int) -> None:
    chance = _ever(RULE, _curveball().strike_share - points)
    assert chance[half_by - 1] > 0.5
    assert chance[39] > 0.85


def test_a_better_pitch_than_usual_is_hardly_ever_shelved() -> None:
    assert _ever(RULE, _curveball().strike_share + 0.10)[29] < 0.01
