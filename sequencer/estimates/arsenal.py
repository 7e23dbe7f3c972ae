"""What a pitcher has today: each pitch's strikes so far, and a pitch that is not there shelved."""

from collections.abc import Mapping
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
#: A throw of a bullpen says whether it was a strike.
_FLAGS: Final[tuple[tuple[object, ...], tuple[object, ...]]] = ((True,), (False,))


def today_of(
    belief: PitcherBelief,
    today: "pd.DataFrame | None",
    warm_up: "pd.DataFrame | None" = None,
) -> PitcherBelief:
    """Return the belief with today's strikes taken in.

    Parameters
    ----------
    belief : PitcherBelief
    today : DataFrame or None
        Today's pitches, columns of the pitch log, pitch-outs and intentional balls left out.
    warm_up : DataFrame or None
        Today's throws before the game, columns of the bullpen log; one of which nobody noted
        whether it was a strike is left out.
    """
    judged = [*_judged(today, "result", _STRIKES, _BALLS), *_judged(warm_up, "strike", *_FLAGS)]
    arsenal = []
    for pitch in belief.arsenal:
        own = [strike for kind, strike in judged if kind == pitch.pitch]
        arsenal.append(updated(pitch, sum(own), len(own)))
    return replace(belief, arsenal=tuple(arsenal))


def _judged(
    frame: "pd.DataFrame | None",
    column: str,
    strikes: tuple[object, ...],
    balls: tuple[object, ...],
) -> list[tuple[str, bool]]:
    """Return the type of every pitch that was a strike or a ball, and which."""
    if frame is None:
        return []
    pairs = zip(words(frame, "pitch"), frame[column].tolist(), strict=True)
    return [(kind, said in strikes) for kind, said in pairs if said in (*strikes, *balls)]


def as_said(belief: PitcherBelief, there: Mapping[str, bool]) -> PitcherBelief:
    """Return the belief with what someone saw of his pitches in the warm-up.

    Who saw them is believed until he says otherwise; a fastball is never left out.

    Parameters
    ----------
    there : mapping of pitch type to bool
        Whether each is there today.
    """
    arsenal = tuple(
        replace(
            pitch,
            shelved=not there[pitch.pitch] and pitch.family != "fast",
            evidence=pitch.evidence if there[pitch.pitch] else "not there in the warm-up",
        )
        if pitch.pitch in there
        else pitch
        for pitch in belief.arsenal
    )
    return replace(belief, arsenal=arsenal)


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
