"""One pitcher's page as JSON holds it."""

from collections.abc import Sequence
from typing import Any, Final

from sequencer.estimates.pitcher import PitchBelief, PitcherBelief
from sequencer.estimates.platoon import PitchTo, Platoon
from sequencer.estimates.separable import Pair, Separable
from sequencer.estimates.strikes import ShareOf, Strikes

#: Strike share that a pitch should reach in any count, unless another is asked for (assumption:
#: what high-school pitchers throw over all counts).
MARK: Final = 0.6


def pitcher_json(
    belief: PitcherBelief,
    strikes: Sequence[Strikes],
    apart: Separable,
    sides: Platoon,
    *,
    mark: float = MARK,
) -> dict[str, Any]:
    """Return the page of one pitcher.

    Shares are of one; misses in inches, the catcher's view: side positive to his right.
    """
    counts = {one.pitch: one for one in strikes}
    return {
        "pitcher": belief.name,
        "throws": belief.throws,
        "level": belief.level,
        "mark": mark,
        "pitches": [_pitch(pitch, counts.get(pitch.pitch), mark) for pitch in belief.arsenal],
        "told_apart": [_pair(pair) for pair in apart.pairs],
        "against": {
            side: {pitch: _to(one) for pitch, one in by_pitch.items()}
            for side, by_pitch in sides.by_side.items()
        },
        "says": [sentence for sentence in (apart.says, *sides.sentences) if sentence],
        "notes": list(belief.notes),
    }


def _pitch(pitch: PitchBelief, strikes: Strikes | None, mark: float) -> dict[str, Any]:
    by_count = {} if strikes is None else strikes.by_group
    return {
        "pitch": pitch.pitch,
        "family": pitch.family,
        "strikes": {"share": pitch.strike_share, "interval": list(pitch.strike_interval)},
        "thrown": pitch.thrown,
        "strikes_by_count": {group: _share(one) for group, one in by_count.items()},
        "reaches_mark_in_any_count": strikes and strikes.chance_at_least(mark),
        "bias_in": pitch.bias.tolist(),
        "bias_cov_in2": pitch.bias_cov.tolist(),
        "cov_in2": pitch.cov.tolist(),
        "spread_in": pitch.spread,
        "spread_interval_in": list(pitch.spread_interval),
        "lost": pitch.lost,
        "charted": pitch.charted,
        "shelved": pitch.shelved,
    }


def _share(one: ShareOf) -> dict[str, Any]:
    return {
        "share": one.mean,
        "interval": list(one.interval),
        "strikes": one.counted.strikes,
        "thrown": one.counted.thrown,
    }


def _pair(pair: Pair) -> dict[str, Any]:
    return {
        "first": pair.first,
        "second": pair.second,
        "verdict": pair.verdict,
        "accuracy": pair.accuracy,
        "interval": None if pair.interval is None else list(pair.interval),
        "rests_on": list(pair.columns),
        "pitches": list(pair.rows),
        "why": pair.why,
    }


def _to(one: PitchTo) -> dict[str, Any]:
    return {
        "mix": {"share": one.mix.mean, "interval": list(one.mix.interval)},
        "strikes": {"share": one.strikes.mean, "interval": list(one.strikes.interval)},
        "bias_in": one.belief.bias.tolist(),
        "spread_in": one.belief.spread,
        "charted": one.belief.charted,
        "thrown": one.belief.thrown,
    }
