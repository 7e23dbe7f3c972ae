"""Fitted coefficients: what a file of them holds, read and written as text."""

import json
from dataclasses import asdict, dataclass, field, fields, replace
from pathlib import Path
from typing import Any, Final

import numpy as np

from sequencer.errors import BadInput
from sequencer.estimates import doubt
from sequencer.estimates.arrays import Floats
from sequencer.estimates.doubt import Doubt
from sequencer.estimates.surface import Surface
from sequencer.estimates.umpires import Umpires

#: The league that every level is moved from.
COMMITTED: Final = Path(__file__).with_name("league_pro.json")
STEPS: Final = ("called", "swing", "miss", "foul", "in_play", "hit_by_pitch")
#: Steps of a swing, known only as far as a bat reaches.
AT_THE_BAT: Final = ("miss", "foul", "in_play")
#: Kinds of play a ball in play becomes; what a double play or a sacrifice makes of an out depends
#: on the bases and is left to whoever knows them.
PLAYS: Final = ("ground out", "air out", "error", "single", "double", "triple", "home run")
_VERSION: Final = 1


@dataclass(frozen=True, slots=True)
class Mix:
    """Where a league's pitches go, by family and count.

    Attributes
    ----------
    family : (3, 4, 3) shares of the families in each count, each count sums to one
    weights : (3, 4, 3, parts) shares of the parts of a Gaussian mixture in (u, v)
    means : (3, parts, 2) ; covs : (3, parts, 2, 2)
    same_side : (3,) share thrown from the side the hitter hits from
    """

    family: Floats
    weights: Floats
    means: Floats
    covs: Floats
    same_side: Floats

    def density(self, family: int, u: Floats, v: Floats) -> Floats:
        """Return densities (parts, ...) of each part of a family at locations."""
        out = []
        for mean, cov in zip(self.means[family], self.covs[family], strict=True):
            away = np.stack([u - mean[0], v - mean[1]], axis=-1)
            power = np.einsum("...i,ij,...j", away, np.linalg.inv(cov), away)
            out.append(np.exp(-0.5 * power) / (2.0 * np.pi * np.sqrt(np.linalg.det(cov))))
        return np.array(out)


@dataclass(frozen=True, slots=True)
class Plays:
    """Balls in play, in the order of `PLAYS`.

    Attributes
    ----------
    share : league shares ; runs : value of each, relative to an average plate appearance ;
    quality : mean quality of contact (runs) of each, which is how shares lean with quality.
    """

    share: Floats
    runs: Floats
    quality: Floats


@dataclass(frozen=True, slots=True)
class Coefficients:
    """A fitted league.

    Attributes
    ----------
    steps : name -> Surface; log odds, but runs for `in_play`
    take_share : (4, 3) share of pitches taken whatever comes
    mix, plays : see `Mix`, `Plays`
    data : what it was fitted on: name, rows of each step, notice
    surprise : step -> log odds a nat and standard deviation; the league's prior where it has none
    doubt : how far the steps may be off; None in a file that does not say
    umpires : what of the called zone is of a side, a year or a season
    """

    steps: dict[str, Surface]
    take_share: Floats
    mix: Mix
    plays: Plays
    data: dict[str, Any] = field(default_factory=dict)
    surprise: dict[str, tuple[float, float]] = field(default_factory=dict)
    doubt: Doubt | None = None
    umpires: Umpires = field(default_factory=Umpires)


def save(found: Coefficients, path: Path) -> None:
    """Write coefficients as JSON, six figures each: all of them, or nothing."""
    body = {
        "version": _VERSION,
        "data": found.data,
        "take_share": found.take_share,
        "mix": asdict(found.mix),
        "plays": asdict(found.plays),
        "steps": {name: asdict(surface) for name, surface in found.steps.items()},
        "surprise": found.surprise,
        "umpires": asdict(found.umpires),
    }
    if found.doubt is not None:
        body["doubt"] = asdict(found.doubt)
    part = path.with_name(f"{path.name}.part")
    try:
        part.write_text(json.dumps(_plain(body), indent=1) + "\n", encoding="utf-8")
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)


def _plain(value: Any) -> Any:
    if isinstance(value, np.ndarray):
        return _plain(value.tolist())
    if isinstance(value, dict):
        return {key: _plain(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(inner) for inner in value]
    return float(f"{value:.6g}") if isinstance(value, float) else value


def read(path: Path = COMMITTED) -> Coefficients:
    """Read coefficients.

    Raises
    ------
    BadInput
        If the file is not a coefficient file of this version.
    """
    try:
        body = json.loads(path.read_text(encoding="utf-8"))
        version = body["version"]
        if version != _VERSION:
            raise BadInput(
                f"{path} holds league coefficients of version {version}; this program reads "
                f"version {_VERSION}: fit it again."
            )
        return _built(body)
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as error:
        raise BadInput(
            f"{path} is not a file of league coefficients: make one with `sequencer fit`."
        ) from error


def _built(body: dict[str, Any]) -> Coefficients:
    def made(kind: type, values: dict[str, Any]) -> Any:
        return kind(*(np.array(values[f.name], dtype=np.float64) for f in fields(kind)))

    mix, plays = made(Mix, body["mix"]), made(Plays, body["plays"])
    take_share = np.array(body["take_share"], dtype=np.float64)
    if (mix.family.shape, take_share.shape, plays.share.shape) != (
        (3, 4, 3),
        (4, 3),
        (len(PLAYS),),
    ):
        raise ValueError("shares of other counts or plays")
    # Six figures leave shares a millionth off one.
    family, weights = mix.family / mix.family.sum(0), mix.weights
    return Coefficients(
        {name: made(Surface, body["steps"][name]) for name in STEPS},
        take_share,
        replace(mix, family=family, weights=weights / weights.sum(-1, keepdims=True)),
        replace(plays, share=plays.share / plays.share.sum()),
        body["data"],
        {step: (float(mean), float(sd)) for step, (mean, sd) in body.get("surprise", {}).items()},
        doubt.built(body["doubt"]) if "doubt" in body else None,
        _umpires(body["umpires"]) if "umpires" in body else Umpires(),
    )


def _umpires(body: dict[str, Any]) -> Umpires:
    seasons = {int(year): np.array(both, float) for year, both in body["seasons"].items()}
    side, year = (np.array(body[name], dtype=np.float64) for name in ("side", "year"))
    return Umpires(side, year, int(body["latest"]), seasons)


def resampled(found: Coefficients, k: int) -> Coefficients:
    """Return the coefficients of the k-th resampled fit, from nought.

    Raises
    ------
    BadInput
        If there is no such fit.
    """
    draws = found.doubt.draws if found.doubt is not None else 0
    if found.doubt is None or not 0 <= k < draws:
        raise BadInput(
            f"This league holds {draws} resampled fits and no number {k}: fit it again with "
            "`sequencer fit` for some, or ask for a number from 0."
        )
    steps = {
        name: surface.with_vector(surface.vector() + found.doubt.moves[name][k])
        for name, surface in found.steps.items()
    }
    return replace(found, steps=steps, take_share=found.doubt.take_share[k])
