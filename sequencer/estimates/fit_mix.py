"""Where a league's pitches go, and what its balls in play become."""

from typing import Final

import numpy as np

from sequencer.baseball.pitches import FAMILIES
from sequencer.errors import BadInput
from sequencer.estimates.arrays import Bools, Floats
from sequencer.estimates.coefficients import PLAYS, Mix, Plays
from sequencer.estimates.fit_data import PLAY_RUNS, Data
from sequencer.estimates.surface import FAR, Rows

#: Gaussian parts of a family's locations, and the pitches that the shares over all counts weigh in
#: one count (assumptions).
PARTS: Final = 5
PRIOR_PITCHES: Final = 50.0
#: Pitches of a family below which its mixture is not fitted.
FEWEST: Final = 200

#: What balls in play became in Retrosheet's 2016, 2019 and 2020 seasons, sacrifice bunts left out.
#: The information used here was obtained free of charge from and is copyrighted by Retrosheet.
#: Interested parties may contact Retrosheet at www.retrosheet.org.
RETROSHEET_SHARES: Final = {
    "out": 0.6101,
    "double play": 0.0318,
    "fielder's choice": 0.0044,
    "sacrifice fly": 0.0091,
    "error": 0.0117,
    "single": 0.2109,
    "double": 0.0661,
    "triple": 0.0064,
    "home run": 0.0495,
}
#: Balls in play that those shares weigh against a log's own (assumption).
PRIOR_IN_PLAY: Final = 2_000.0
#: Share of plain outs made in the air (assumption until the log shows its own).
AIR_OUTS: Final = 0.55
#: Mean quality of contact of each play, runs, before data (assumption).
QUALITY: Final = {
    "ground out": -0.18,
    "air out": -0.05,
    "error": -0.13,
    "single": 0.17,
    "double": 0.27,
    "triple": 0.25,
    "home run": 0.82,
}
_PRIOR_QUALITY: Final = 10.0


def location_mix(rows: Rows, whole: Bools) -> Mix:
    """Fit where each family goes in each count, on games whose swings were kept too.

    Raises
    ------
    BadInput
        If a family has too few pitches, or all of them at a few places.
    """
    rows = rows.take(whole)
    means, covs, weights = [], [], []
    for family, name in enumerate(FAMILIES):
        own = rows.take(rows.family == family)
        _enough(own, name)
        parts = _parts(own)
        means.append(parts[0])
        covs.append(parts[1])
        weights.append(_weights(own, *parts))
    return Mix(
        family_shares(rows), np.array(weights), np.array(means), np.array(covs),
        np.array([_same(rows.same[rows.family == family]) for family in range(3)]),
    )  # fmt: skip


def _enough(own: Rows, name: str) -> None:
    if len(own) < FEWEST:
        raise BadInput(
            f"Where {name} pitches go cannot be fitted on {len(own)} of them: at least "
            f"{FEWEST} are needed, or lean on the built-in league."
        )
    places = len(np.unique(np.stack([own.u, own.v], axis=1), axis=0))
    if places <= PARTS:
        raise BadInput(
            f"Where {name} pitches go cannot be fitted: all {len(own)} of them crossed at the same "
            "few places. Check side_in and height_in, or lean on the built-in league."
        )


def _parts(own: Rows) -> tuple[Floats, Floats, Floats]:
    from sklearn.mixture import GaussianMixture

    places = np.clip(np.stack([own.u, own.v], axis=1), -FAR / 1.5, FAR / 1.5)
    found = GaussianMixture(PARTS, random_state=0, reg_covar=1e-3, max_iter=300, tol=1e-4)
    found.fit(places[:: max(1, len(places) // 20_000)])
    return found.means_, found.covariances_, found.weights_


def _weights(own: Rows, means: Floats, covs: Floats, overall: Floats) -> Floats:
    """Return the shares of the parts by count, (4, 3, parts), each count shrunk to all of them."""
    mix = Mix(np.empty(0), np.empty(0), means[None], covs[None], np.empty(0))
    belongs = overall[:, None] * mix.density(0, own.u, own.v)
    belongs /= np.maximum(belongs.sum(0), 1e-300)
    total = np.zeros((4, 3, len(overall)))
    np.add.at(total, (own.balls, own.strikes), belongs.T)
    total += PRIOR_PITCHES * overall
    return np.asarray(total / total.sum(-1, keepdims=True))


def family_shares(rows: Rows) -> Floats:
    """Return the shares of the families in each count, (3, 4, 3), shrunk to those over all.

    Where no family is known they are alike.
    """
    known = rows.family < 3
    if not known.any():
        return np.full((3, 4, 3), 1.0 / 3.0)
    total = np.zeros((3, 4, 3))
    np.add.at(total, (rows.family[known], rows.balls[known], rows.strikes[known]), 1.0)
    overall = total.sum((1, 2), keepdims=True) / float(total.sum())
    total += PRIOR_PITCHES * overall
    return np.asarray(total / total.sum(0))


def _same(same: Floats) -> float:
    known = same[same != 0.5]
    return float((known.sum() + 25.0) / (len(known) + 50.0))


def kinds_of(data: Data) -> "np.ndarray[tuple[int], np.dtype[np.str_]]":
    """Return the word of `PLAYS` that each ball in play is; empty where it is none."""
    kinds = np.full(len(data.rows), "", dtype="<U10")
    for word in ("error", "single", "double", "triple", "home run"):
        kinds[data.play == word] = word
    out = data.play == "out"
    kinds[out & (data.air == 1.0)] = "air out"
    kinds[(out & (data.air == 0.0)) | np.isin(data.play, ["double play", "fielder's choice"])] = (
        "ground out"
    )
    kinds[data.play == "sacrifice fly"] = "air out"
    kinds[data.result != "in play"] = ""
    return kinds


def fit_plays(data: Data) -> Plays:
    """Return league shares, runs and quality of each kind of play."""
    kinds = kinds_of(data)
    base = _retrosheet(data, kinds)
    counts = np.array([float((kinds == kind).sum()) for kind in PLAYS])
    share = counts + PRIOR_IN_PLAY * base.share
    known = np.isfinite(data.runs)
    sums = np.array([float(data.runs[known & (kinds == kind)].sum()) for kind in PLAYS])
    seen = np.array([float((known & (kinds == kind)).sum()) for kind in PLAYS])
    quality = (sums + _PRIOR_QUALITY * base.quality) / (seen + _PRIOR_QUALITY)
    return Plays(share / share.sum(), base.runs, quality)


def _retrosheet(data: Data, kinds: "np.ndarray[tuple[int], np.dtype[np.str_]]") -> Plays:
    """Return the published shares, plain outs split as this log splits them."""
    air, ground = float((kinds == "air out").sum()), float((kinds == "ground out").sum())
    in_air = (air + 20.0 * AIR_OUTS) / (air + ground + 20.0)
    of = RETROSHEET_SHARES
    outs = of["out"]
    ground_parts = {
        "out": outs * (1 - in_air),
        **{k: of[k] for k in ("double play", "fielder's choice")},
    }
    air_parts = {"out": outs * in_air, "sacrifice fly": of["sacrifice fly"]}
    share = [sum(ground_parts.values()), sum(air_parts.values()), *(of[k] for k in PLAYS[2:])]
    runs = [_mean(ground_parts), _mean(air_parts), *(PLAY_RUNS[k] for k in PLAYS[2:])]
    return Plays(np.array(share), np.array(runs), np.array([QUALITY[kind] for kind in PLAYS]))


def _mean(parts: dict[str, float]) -> float:
    return sum(PLAY_RUNS[k] * share for k, share in parts.items()) / sum(parts.values())
