"""What a pitcher has today: each pitch's strikes so far, and a pitch that is not there shelved."""

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from sequencer.estimates.pitcher import PitchBelief, PitcherBelief
from sequencer.estimates.places import words
from sequencer.estimates.shrinkage import Share

if TYPE_CHECKING:
    import pandas as pd

#: Pitches of today that his usual strike share weighs: a pitch can be there one day and gone the
#: next (assumption).
USUAL_PITCHES: Final = 5.0
#: Shelved when today's share is this far below his usual one with this probability, after at least
#: so many thrown (assumptions: 2 strikes in 9 shelve a usual curveball, 2 in 6 do not).
SHORT: Final = 0.10
SURE: Final = 0.80
FEWEST: Final = 5
#: Results that are a strike or a ball; hit batters are balls, what nobody saw is left out.
_STRIKES: Final = ("called strike", "swinging strike", "foul", "foul tip", "in play")
_BALLS: Final = ("ball", "hit by pitch")


def today_of(belief: PitcherBelief, today: "pd.DataFrame") -> PitcherBelief:
    """Return the belief with today's strikes taken in.

    Parameters
    ----------
    belief : PitcherBelief
    today : DataFrame
        Today's pitches, columns of the pitch log, pitch-outs and intentional balls left out.
    """
    kinds, results = words(today, "pitch"), words(today, "result")
    arsenal = []
    for pitch in belief.arsenal:
        own = [r for kind, r in zip(kinds, results, strict=True) if kind == pitch.pitch]
        strikes = sum(result in _STRIKES for result in own)
        thrown = strikes + sum(result in _BALLS for result in own)
        arsenal.append(updated(pitch, strikes, thrown))
    return replace(belief, arsenal=tuple(arsenal))


def updated(pitch: PitchBelief, strikes: int, thrown: int) -> PitchBelief:
    """Return one pitch after `strikes` in `thrown` today; a fastball is never shelved."""
    if thrown == 0:
        return pitch
    today = Share.of(strikes, thrown, pitch.strike_share, USUAL_PITCHES)
    short = today.below(pitch.strike_share - SHORT)
    shelved = pitch.family != "fast" and thrown >= FEWEST and short > SURE
    said = f"{pitch.pitch}: {strikes} {'strike' if strikes == 1 else 'strikes'} in {thrown}"
    return replace(
        pitch,
        strike_share=today.mean,
        strike_interval=today.interval(),
        shelved=shelved,
        evidence=f"{said}, shelved" if shelved else said,
    )
