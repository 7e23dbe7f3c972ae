"""What a plan assumes and no data at hand can settle, in one place so that it can be moved."""

from dataclasses import dataclass
from typing import Final

#: Runs a ball in play gains where he looked for it, and loses where he did not (assumption).
AREA_RUNS: Final = 0.02
#: Log odds of a miss on a pitch that crosses on the side the one before crossed on, at the other
#: speed, and its standard deviation. Fitted (`python -m tests.estimates.last_pitch`): 7,489 swings
#: of open professional pitches, 877 of them such, say -.23 (standard error .11), and with a prior
#: of nought, .1 (the published effects: a few points of whiff either way) -.10. So a pitch that
#: follows another to its side at the other speed is missed a little less, not more. The same spot
#: at the other speed (-.06, .09), the same pitch to the same spot (.00, .08) and another eye level
#: (-.06, .06) are not told from nought, nor is any of them on a swing or a foul: left out. On games
#: not fitted on the effects save .4 (.2) thousandths of a nat a swing.
CROSSED_SAME_SIDE: Final = (-0.10, 0.075)
#: How much likelier two pitches cross on one side when called to one half than when called to both:
#: .22 with a spread of 7 inches, .17 of 8.5, .11 of 11; .33 to .48 when the first is known to have
#: crossed there, as it is live (computed). Called to the middle they are nowhere in particular.
AIMED: Final = 0.3
SAME_SIDE_OTHER_SPEED: Final = AIMED * CROSSED_SAME_SIDE[0]


@dataclass(frozen=True, slots=True)
class Assumed:
    """What stands behind the game's arrays beside the beliefs.

    Attributes
    ----------
    area_runs : float
        Runs a ball in play gains where he looked for it, and loses where he did not.
    same_side_other_speed : float
        Log odds of a miss gained by a call to the half that a pitch of the other speed showed.
    in_play : float
        Runs put on every ball in play, over what the level's league says.
    """

    area_runs: float = AREA_RUNS
    same_side_other_speed: float = SAME_SIDE_OTHER_SPEED
    in_play: float = 0.0


USUAL: Final = Assumed()
