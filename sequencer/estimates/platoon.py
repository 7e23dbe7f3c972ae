"""What a pitcher does to right- and left-handed hitters, and only what his pitches carry.

Each side is shrunk to his own total: what he throws, how often for a strike, where he misses. A
difference is said when it is nearly sure after so many questions were asked, and large enough to
matter; everything else is noise that a coach should not carry.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import NormalDist
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

import numpy as np

from sequencer.baseball import levels
from sequencer.estimates.command import charted
from sequencer.estimates.misses import BIAS_THROWS, PRIOR_THROWS, Throws, spread_of
from sequencer.estimates.pitcher import PitchBelief, PitcherBelief
from sequencer.estimates.places import words
from sequencer.estimates.shrinkage import Share
from sequencer.estimates.strikes import Counted, ShareOf, counted

if TYPE_CHECKING:
    import pandas as pd

SIDES: Final = ("R", "L")
_HITTERS: Final = MappingProxyType({"R": "right-handers", "L": "left-handers"})
#: Pitches that his own total weighs against one side (assumptions: a mix is chosen and may differ
#: much, a strike share hardly does).
MIX_PITCHES: Final = 20.0
STRIKE_PITCHES: Final = 100.0
#: Misses of one side against his own total weigh as the level's do against him.
#: A difference is said from this probability, divided by how many were looked at, and from this
#: size: shares, strikes, inches of bias and of spread (assumptions).
SURE: Final = 0.95
MIX_DIFFERS: Final = 0.10
STRIKES_DIFFER: Final = 0.05
BIAS_DIFFERS_IN: Final = 3.0
SPREAD_DIFFERS_IN: Final = 1.5
#: What is asked of each pitch: mix, strikes, bias to the side and in height, spread.
QUESTIONS: Final = 5
#: How a bias of one side is more than the other's, along each axis, above and below nought.
_WAYS: Final = (
    ("more to the catcher's right", "more to the catcher's left"),
    ("higher", "lower"),
)
#: "Only" is said when not one was thrown to the other side in at least so many pitches.
ONLY_OF: Final = 30
#: Pitches to a side below which nothing is said of it.
FEWEST: Final = 15


@dataclass(frozen=True, eq=False)
class PitchTo:
    """One pitch against one side.

    Attributes
    ----------
    mix, strikes : ShareOf
        Its share of his pitches there, and its strikes.
    belief : PitchBelief
        The pitch as it is thrown there: misses and strikes shrunk to his own total, `charted` and
        `thrown` of this side alone.
    """

    mix: ShareOf
    strikes: ShareOf
    belief: PitchBelief


@dataclass(frozen=True, eq=False)
class Platoon:
    """Every pitch against either side, and what is worth saying.

    `thrown` counts the pitches to each side, `by_side` holds side -> pitch -> PitchTo.
    """

    thrown: Mapping[str, int]
    by_side: Mapping[str, Mapping[str, PitchTo]]
    sentences: tuple[str, ...]


def platoon(belief: PitcherBelief, frame: "pd.DataFrame | None") -> Platoon:
    """Return what game pitches say of a pitcher against right- and left-handed hitters.

    Parameters
    ----------
    belief : PitcherBelief
        His own totals, which each side is shrunk to.
    frame : DataFrame or None
        His game pitches, columns of the pitch log. Pitch-outs and intentional balls are left out.
    """
    sides = {side: _to(frame, side) for side in SIDES}
    types = tuple(pitch.pitch for pitch in belief.arsenal)
    mix = {side: _mix(rows, types) for side, rows in sides.items()}
    total = {pitch: sum(mix[side][pitch] for side in SIDES) for pitch in types}
    by_side = {
        side: {
            pitch.pitch: _pitch_to(pitch, belief.level, sides[side], mix[side], total)
            for pitch in belief.arsenal
        }
        for side in SIDES
    }
    thrown = {side: sum(mix[side].values()) for side in SIDES}
    return Platoon(
        MappingProxyType(thrown),
        MappingProxyType(by_side),
        tuple(_sentences(types, thrown, by_side)),
    )


def _to(frame: "pd.DataFrame | None", side: str) -> "pd.DataFrame | None":
    if frame is None or frame.empty:
        return None
    rows = np.array([bats == side for bats in words(frame, "bats")], dtype=np.bool_)
    rows &= np.array([intent == "" for intent in words(frame, "intent")], dtype=np.bool_)
    return frame[rows]


def _mix(frame: "pd.DataFrame | None", types: Sequence[str]) -> dict[str, int]:
    kinds = [] if frame is None else words(frame, "pitch")
    return {pitch: kinds.count(pitch) for pitch in types}


def _pitch_to(
    pitch: PitchBelief,
    level: str,
    frame: "pd.DataFrame | None",
    mix: Mapping[str, int],
    total: Mapping[str, int],
) -> PitchTo:
    n, everything = sum(mix.values()), sum(total.values())
    usual = (total[pitch.pitch] + 0.5) / (everything + 0.5 * len(total))
    strikes, seen = Counted(0, 0), Throws.none()
    if frame is not None and not frame.empty:
        groups = counted(frame, pitch.pitch).values()
        strikes = Counted(sum(g.strikes for g in groups), sum(g.thrown for g in groups))
        seen = charted(frame, pitch.pitch, levels.level(level).zone, "bats")
    misses = spread_of(
        seen, pitch.cov, prior_mean=pitch.bias, mean_weight=BIAS_THROWS, freedom=PRIOR_THROWS,
        lost=pitch.lost, lost_weight=np.inf,
    )  # fmt: skip
    share = _share(strikes.strikes, strikes.thrown, pitch.strike_share, STRIKE_PITCHES)
    own = replace(
        pitch, bias=misses.mean, cov=misses.cov, bias_cov=misses.mean_cov, freedom=misses.freedom,
        charted=len(seen.low), thrown=strikes.thrown,
        strike_share=share.mean, strike_interval=share.interval,
    )  # fmt: skip
    return PitchTo(_share(mix[pitch.pitch], n, usual, MIX_PITCHES), share, own)


def _share(successes: int, n: int, usual: float, weight: float) -> ShareOf:
    found = Share.of(successes, n, usual, weight)
    return ShareOf(found.mean, found.interval(), Counted(successes, n))


def _sentences(
    types: Sequence[str],
    thrown: Mapping[str, int],
    by_side: Mapping[str, Mapping[str, PitchTo]],
) -> list[str]:
    """Return what differs between the sides, surely and by enough."""
    if min(thrown.values()) < FEWEST:
        return []
    said = []
    sure = 1.0 - (1.0 - SURE) / (2.0 * QUESTIONS * len(types))
    for pitch in types:
        right, left = by_side["R"][pitch], by_side["L"][pitch]
        said += [_mix_said(pitch, right.mix, left.mix, sure)] if len(types) > 1 else []
        said += [_strikes_said(pitch, right.strikes, left.strikes, sure)]
        if min(right.belief.charted, left.belief.charted) >= FEWEST:
            said += [_bias_said(pitch, right.belief, left.belief, sure)]
            said += [_spread_said(pitch, right.belief, left.belief, sure)]
    return [sentence for sentence in said if sentence]


def _mix_said(pitch: str, right: ShareOf, left: ShareOf, sure: float) -> str:
    more, less = ("R", "L") if _rate(right) > _rate(left) else ("L", "R")
    high, low = (right, left) if more == "R" else (left, right)
    if not _differ(high.counted, low.counted, MIX_DIFFERS, sure):
        return ""
    if low.counted.strikes == 0 and low.counted.thrown >= ONLY_OF:
        return (
            f"Throws the {pitch} to {_HITTERS[more]} only: {_in(high.counted)} pitches, "
            f"{_in(low.counted)} to {_HITTERS[less]}."
        )
    return (
        f"Throws the {pitch} more to {_HITTERS[more]}: {_per_100(high)} pitches in 100 against "
        f"{_per_100(low)}."
    )


def _strikes_said(pitch: str, right: ShareOf, left: ShareOf, sure: float) -> str:
    more, less = ("R", "L") if _rate(right) > _rate(left) else ("L", "R")
    high, low = (right, left) if more == "R" else (left, right)
    if not _differ(high.counted, low.counted, STRIKES_DIFFER, sure):
        return ""
    return (
        f"Fewer strikes with the {pitch} to {_HITTERS[less]}: {_per_100(low)} in 100 against "
        f"{_per_100(high)}."
    )


def _bias_said(pitch: str, right: PitchBelief, left: PitchBelief, sure: float) -> str:
    """Say where he misses otherwise, in the catcher's view."""
    away = right.bias - left.bias
    sd = np.sqrt(np.diag(right.bias_cov + left.bias_cov))
    for axis, ways in enumerate(_WAYS):
        apart = float(abs(away[axis]))
        if apart >= BIAS_DIFFERS_IN and apart > _normal(sure) * sd[axis]:
            return (
                f"Misses with the {pitch} go {apart:.0f} inches {ways[int(away[axis] < 0)]} "
                "against right-handers than against left-handers."
            )
    return ""


def _spread_said(pitch: str, right: PitchBelief, left: PitchBelief, sure: float) -> str:
    more, wide, close = ("R", right, left) if right.spread > left.spread else ("L", left, right)
    doubt = float(np.hypot(wide.spread_sd, close.spread_sd))
    apart = wide.spread - close.spread
    if apart < SPREAD_DIFFERS_IN or apart < _normal(sure) * doubt:
        return ""
    return (
        f"Wilder with the {pitch} to {_HITTERS[more]}: spreads {_inches(wide)} inches against "
        f"{_inches(close)}."
    )


def _inches(pitch: PitchBelief) -> str:
    low, high = pitch.spread_interval
    return f"{pitch.spread:.1f} ({low:.1f} to {high:.1f})"


def _rate(share: ShareOf) -> float:
    return share.counted.strikes / max(share.counted.thrown, 1)


def _differ(high: Counted, low: Counted, least: float, sure: float) -> bool:
    """Return whether one share is surely above the other, and by at least so much.

    Two independent Beta posteriors with a flat half on either side (Jeffreys), compared as normals
    in log odds, which is on the safe side for shares near nought.
    """
    if min(high.thrown, low.thrown) < FEWEST:
        return False
    if high.strikes / high.thrown - low.strikes / low.thrown < least:
        return False
    odds, variance = 0.0, 0.0
    for sign, one in ((1.0, high), (-1.0, low)):
        yes, no = one.strikes + 0.5, one.thrown - one.strikes + 0.5
        odds += sign * float(np.log(yes / no))
        variance += 1.0 / yes + 1.0 / no
    return bool(odds > _normal(sure) * np.sqrt(variance))


def _normal(sure: float) -> float:
    """Return the normal quantile of a probability above one half."""
    return NormalDist().inv_cdf(sure)


def _per_100(share: ShareOf) -> str:
    low, high = share.interval
    return f"{100 * share.mean:.0f} ({100 * low:.0f} to {100 * high:.0f})"


def _in(found: Counted) -> str:
    return f"{found.strikes} of {found.thrown}"
