"""Held against the plan: what the plan asks for is readable perhaps, but never a bad habit."""

from collections.abc import Callable, Mapping
from typing import Final

import numpy as np
from numpy.typing import NDArray

from sequencer.baseball import pitches
from sequencer.review.coded import HEIGHTS, SIDES, Coded, Codes, height_of, side_of
from sequencer.review.findings import Finding
from sequencer.review.question import type_word

Mix = Mapping[tuple[str, str], float]
Shown = tuple[str, str] | None
#: (pitcher, hitter, balls, strikes, what the pitch before showed: its type and side, None for a
#: first pitch) -> share of every (pitch, target) of the plan; None where there is none.
Plans = Callable[[str, str, int, int, Shown], Mix | None]

#: Share of the pitches behind a finding that a plan must cover before it is judged by plans.
#: Common practice, no source.
COVERED_FROM: Final = 0.8
#: Standard errors, or points of share if that is more, that a habit may be above the plan's share
#: and still be what the plan asks for: the one-sided level of one question in twelve (.05 / 12), as
#: the habit was picked for standing out; and nobody reads five points (assumption).
_ALLOWED: Final = 2.64
_ALLOWED_SHARE: Final = 0.05


def asked_share(finding: Finding, log: Coded, plans: Plans) -> tuple[float, float] | None:
    """Return the share the plans ask for where a finding holds, and its standard error.

    Parameters
    ----------
    finding : Finding
    log : Coded
        The log its `rows` are positions of.
    plans : callable

    Returns
    -------
    (float, float) or None
        None where plans cover too few of the pitches.
    """
    chances = _chances(finding, log, plans)
    p = chances[~np.isnan(chances)]
    if len(p) < COVERED_FROM * len(chances) or not len(p):
        return None
    return float(p.mean()), float(np.sqrt((p * (1 - p)).sum()) / len(p))


def is_right(finding: Finding, asked: tuple[float, float] | None) -> bool | None:
    """Tell whether the plan would have it so: no more of it than it asks for, within chance."""
    if asked is None:
        return None
    return finding.share <= asked[0] + max(_ALLOWED * asked[1], _ALLOWED_SHARE) + 1e-9


def _shown(log: Coded, row: int) -> Shown:
    if log.previous[row] < 0:
        return None
    side = int(log.previous_side[row])
    return type_word(int(log.previous[row])), SIDES[side] if side >= 0 else "middle"


def _chances(finding: Finding, log: Coded, plans: Plans) -> NDArray[np.float64]:
    """Return the plan's chance of the habit on each pitch, nan where it has none, (pitches,)."""
    more = _hangs_on(finding)
    first, kind = _alike(log, finding.rows, (*_ASKED_BY, *more))
    mixes: list[Mix | None] = []
    found: dict[tuple[int, ...], float] = {}
    chances = np.empty(len(first))
    for place, row in enumerate(first.tolist()):
        mix = plans(*log.names(row), int(log.balls[row]), int(log.strikes[row]), _shown(log, row))
        mixes.append(mix)  # kept, so that no two of them are ever one object
        key = (id(mix), *(int(getattr(log, name)[row]) for name in more))
        if key not in found:
            found[key] = np.nan if mix is None else _chance(finding, log, row, mix)
        chances[place] = found[key]
    return chances[kind]


#: What a plan is asked by.
_ASKED_BY: Final = ("pitcher", "hitter", "balls", "strikes", "previous", "previous_side")


def _hangs_on(finding: Finding) -> tuple[str, ...]:
    """Return what of a pitch, beside the plan's mix, the chance of the habit on it hangs on."""
    factor = {"pitch": ("pitch",), "side of the plate": ("side",)}.get(finding.pattern.factor, ())
    return (*factor, "previous") if "repeat" in finding.contrast.what else factor


def _alike(log: Coded, rows: Codes, names: tuple[str, ...]) -> tuple[Codes, Codes]:
    """Return one of each kind of pitches that columns tell apart, and the kind of every pitch."""
    key = np.zeros(len(rows), dtype=np.int64)
    for name in names:
        column = getattr(log, name)[rows]
        key = key * (int(column.max(initial=-1)) + 2) + column + 1
    _, first, kind = np.unique(key, return_index=True, return_inverse=True)
    return rows[first], kind.astype(np.int64)


def _chance(finding: Finding, log: Coded, row: int, mix: Mix) -> float:
    """Return the plan's chance of the habit on one pitch, given what the condition already says."""
    place = {"side": side_of, "height": height_of}.get(finding.pattern.label)
    total = met = 0.0
    for (pitch, target), share in mix.items():
        told = place is None or place(target) >= 0
        if told and _meets(finding.pattern.factor, log, row, pitch, target):
            total += share
            if is_what(finding.contrast.what, pitch, target, int(log.previous[row])):
                met += share
    return met / total if total > 0 else np.nan


def _meets(factor: str, log: Coded, row: int, pitch: str, target: str) -> bool:
    """Tell whether a call is of the kind the condition speaks of on this pitch."""
    if factor == "pitch":
        return pitch == type_word(int(log.pitch[row]))
    if factor == "side of the plate":
        return side_of(target) == int(log.side[row])
    return True


def is_what(what: Mapping[str, object], pitch: str, target: str, previous: int) -> bool:
    """Tell whether a call is what a finding speaks of."""
    if "repeat" in what:
        return (previous >= 0 and pitch == type_word(previous)) is what["repeat"]
    if "side" in what:
        return what["side"] in SIDES and SIDES.index(str(what["side"])) == side_of(target)
    if "height" in what:
        return what["height"] in HEIGHTS and HEIGHTS.index(str(what["height"])) == height_of(target)
    if "pitch" in what:
        return bool(pitch == what["pitch"])
    return bool(pitches.TYPES.get(pitch) == what["family"])
