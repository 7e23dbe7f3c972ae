"""Set the levels of the steps by count, takes and the zone share, so that rates are as counted.

Located pitches with results are few and come from chosen pitchers and hitters; what happens in each
count over whole seasons is known to a thousandth. The shape of a step over the plane stays as
fitted, only its twelve levels by count move. The called zone is fitted on hundreds of thousands of
takes and stays: how many takes are called strikes is set by how much of a count's pitches go over
the plate, so the shares of the location mix move.
"""

from dataclasses import replace
from typing import Final

import numpy as np

from sequencer.estimates.arrays import Floats, logit
from sequencer.estimates.chain import Rates, grid, rates
from sequencer.estimates.coefficients import Coefficients, Mix, resampled
from sequencer.estimates.doubt import short
from sequencer.estimates.league import League, LevelShift
from sequencer.estimates.surface import Surface

#: Rates by balls and strikes of Retrosheet's 2016, 2019 and 2020 seasons, 1.70 million pitches. The
#: information used here was obtained free of charge from and is copyrighted by Retrosheet.
#: Interested parties may contact Retrosheet at www.retrosheet.org.
COUNTED: Final = Rates(
    swing=np.array(
        [[0.292, 0.476, 0.508], [0.420, 0.536, 0.573], [0.436, 0.585, 0.647], [0.104, 0.560, 0.723]]
    ),
    miss=np.array(
        [[0.259, 0.275, 0.289], [0.247, 0.252, 0.269], [0.221, 0.232, 0.235], [0.159, 0.185, 0.192]]
    ),
    in_play=np.array(
        [[0.366, 0.356, 0.342], [0.378, 0.373, 0.356], [0.397, 0.388, 0.380], [0.440, 0.417, 0.409]]
    ),
    called=np.array(
        [[0.444, 0.208, 0.077], [0.405, 0.239, 0.096], [0.449, 0.291, 0.137], [0.633, 0.378, 0.195]]
    ),
    # Hit batters per pitch over takes per pitch.
    hit_by_pitch=np.array(
        [
            [0.0029, 0.0062, 0.0082],
            [0.0028, 0.0061, 0.0094],
            [0.0023, 0.0042, 0.0101],
            [0.0012, 0.0027, 0.0080],
        ]
    ),
    in_play_runs=np.array(
        [
            [0.0555, 0.0219, 0.0030],
            [0.0657, 0.0363, 0.0177],
            [0.0806, 0.0576, 0.0284],
            [0.1536, 0.0938, 0.0566],
        ]
    ),
)
#: Rounds, and how far a part in the zone gains for a log odds of called strikes to be made up.
_ROUNDS: Final = 40
_GAIN: Final = 1.5


def calibrated(
    found: Coefficients, counted: Rates = COUNTED, mix: Mix | None = None
) -> Coefficients:
    """Return the coefficients with their levels by count moved until the rates are as counted.

    Parameters
    ----------
    found : Coefficients
        A fit of the league that `counted` is of.
    counted : Rates
        Rates by count.
    mix : Mix, optional
        Where pitches go, when that is settled; else called strikes are brought to those counted by
        how many pitches go over the plate.

    Returns
    -------
    Coefficients
    """
    found = found if mix is None else replace(found, mix=mix)
    found = replace(found, steps=_protect_apart(found.steps, ("miss", "foul")))
    for _ in range(_ROUNDS):
        moved = _moved(found, rates(League.of(found, LevelShift())), counted)
        found = moved if mix is None else replace(moved, mix=mix)
    return replace(found, steps=_protect_apart(found.steps, ("swing", "in_play")))


def calibrated_with_draws(found: Coefficients, counted: Rates = COUNTED) -> Coefficients:
    """Return `calibrated` coefficients whose resampled fits are brought to the same rates.

    What is counted to a thousandth is not in doubt: a resampled fit keeps its own shape over the
    plane, and its own called zone. Errors by cell stay those of the fit.
    """
    usual = calibrated(found, counted)
    if found.doubt is None:
        return usual
    draws = range(found.doubt.draws)
    drawn = [calibrated(resampled(found, k), counted, usual.mix) for k in draws]
    moves = {
        step: short(np.array([one.steps[step].vector() - surface.vector() for one in drawn]))
        for step, surface in usual.steps.items()
    }
    takes = short(np.array([one.take_share for one in drawn]))
    return replace(usual, doubt=replace(found.doubt, moves=moves, take_share=takes))


def _moved(found: Coefficients, now: Rates, counted: Rates) -> Coefficients:
    foul_now = 1.0 - now.in_play / (1.0 - now.miss)
    foul = 1.0 - counted.in_play / (1.0 - counted.miss)
    moves = {
        "swing": logit(counted.swing) - logit(now.swing),
        "miss": logit(counted.miss) - logit(now.miss),
        "foul": logit(foul) - logit(foul_now),
        "hit_by_pitch": logit(counted.hit_by_pitch) - logit(now.hit_by_pitch),
        "in_play": counted.in_play_runs - now.in_play_runs,
    }
    take = _taking(found.take_share, now.swing, counted.swing)
    readier = _short(found.take_share, now.swing, counted.swing)
    moves["swing"] = np.where(np.arange(3) == 2, moves["swing"], readier)
    steps = dict(found.steps)
    for name, move in moves.items():
        steps[name] = replace(steps[name], count=steps[name].count + move)
    over = _GAIN * (logit(counted.called) - logit(now.called))
    mix = _more_over_the_plate(found.mix, over)
    return replace(found, steps=steps, take_share=take, mix=mix)


def _taking(take: Floats, now: Floats, counted: Floats) -> Floats:
    """Return shares taken whatever comes, (4, 3), that bring swings nearer to those counted.

    How a ready hitter swings stays; with two strikes, when hardly anyone takes so, so do takes.
    """
    moved = np.clip(1.0 - (1.0 - take) * counted / now, 0.0, 1.0)
    return np.asarray(np.where(np.arange(3) == 2, take, moved))


def _short(take: Floats, now: Floats, counted: Floats) -> float:
    """Return the log odds by which a ready hitter swings too seldom, 0.0 where he does not.

    Nobody takes less often than never: where swings fall short even so, a ready hitter swings more
    in every count alike, and the other counts' takes make up for it.
    """
    most = (now / (1.0 - take))[:, :2]
    return max(0.0, float((logit(counted[:, :2]) - logit(most)).max()))


def _more_over_the_plate(mix: Mix, more: Floats) -> Mix:
    """Lean the shares of the mix's parts in each count, (4, 3), toward those in the zone."""
    u, v = grid()
    inside = (np.abs(u) <= 1) & (np.abs(v) <= 1)
    weights = mix.weights.copy()
    for family in range(3):
        density = mix.density(family, u, v)
        in_zone = density[:, inside].sum(1) / density.sum(1)
        weights[family] *= np.exp(more[..., None] * in_zone)
    return replace(mix, weights=weights / weights.sum(-1, keepdims=True))


def _protect_apart(steps: dict[str, Surface], names: tuple[str, ...]) -> dict[str, Surface]:
    """Give what two strikes change at every location to protecting, not to the count.

    A hitter may choose to protect or to drive in any count, so the difference must go with the
    choice. With no strikes he drives, with one he is between: two are held against none, at no to
    two balls, where both are common. Misses and fouls are compared on the same hitters, as fitted:
    over whole seasons their change with two strikes is mostly that better pitches are thrown. Value
    in play has too few located balls for that and goes by the counted seasons. Swings are fitted
    apart and only what the counted seasons move them goes the same way.
    """
    apart = dict(steps)
    for name in names:
        surface = steps[name]
        count, protect = surface.count.copy(), surface.protect.copy()
        more = float(count[:3, 2].mean() - count[:3, 0].mean())
        count[:, 2] -= more
        protect[0] += more
        apart[name] = replace(surface, count=count, protect=protect)
    return apart
