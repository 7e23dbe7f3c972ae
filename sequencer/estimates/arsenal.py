"""What a pitcher has today: each pitch's strikes so far, and a pitch that is not there shelved."""

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from sequencer.estimates.pitcher import PitchBelief, PitcherBelief
from sequencer.estimates.places import words
from sequencer.estimates.shrinkage import Share

if TYPE_CHECKING:
    import pandas as pd

#: Pitches of today that his usual strike share weighs. Professionals' days hardly differ (by whole
#: games .06 to .09 in log odds, nine types of two pitchers .08, at most .16: a weight of 170 and
#: more, measured); that boys' days differ more, and so much, is an assumption.
USUAL_PITCHES: Final = 20.0
#: Shelved when today's share is this far below his usual one with this probability, after at
#: least so many thrown: none of 7, one of 9, two of 11 or three of 13 shelve a usual curveball.
#: Chosen for one game in twenty: of usual pitches (share .50 to .57, days that differ by a weight
#: of 40) judged after every pitch, 1 or 2 in 100 are shelved by the 10th, 3 by the 15th, 5 by the
#: 20th, 8 by the 30th. One 25 points short of itself is shelved by the 18th pitch as often as not
#: (56 to 59 in 100 by the 20th, 88 to 90 by the 40th), one 35 points short by the 10th or 11th.
#: Exact sums over all courses of a game; of 532 games of two professionals' soft pitches, each held
#: against his other games, 2 were shelved. (A weight of 5 and .80 shelved 14 in 100 by the 20th for
#: nothing.)
SHORT: Final = 0.10
SURE: Final = 0.65
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
    said = f"{strikes} {'strike' if strikes == 1 else 'strikes'} in {thrown} today"
    return replace(
        pitch,
        strike_share=today.mean,
        strike_interval=today.interval(),
        shelved=shelved,
        evidence=said,
    )
