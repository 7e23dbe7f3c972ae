"""What a plan assumes and no data at hand can settle, in one place so that it can be moved."""

from dataclasses import dataclass
from typing import Final

#: Runs a ball in play gains where he looked for it, and loses where he did not (assumption).
AREA_RUNS: Final = 0.02
#: Log odds of a miss that a pitch gains when the one before went to the same side at the other
#: speed. Assumption, and small: the published effects are a few points of whiff either way, worth
#: .005 to .01 runs a pitch at most; Kidokoro et al. (2020) found none. A coach can switch it off.
SAME_SIDE_OTHER_SPEED: Final = 0.15


@dataclass(frozen=True, slots=True)
class Assumed:
    """Assumptions behind the game's arrays.

    Attributes
    ----------
    area_runs : float
        Runs a ball in play gains where he looked for it, and loses where he did not.
    same_side_other_speed : float
        Log odds of a miss gained after a pitch of the other speed to the same side.
    in_play : float
        Runs put on every ball in play, over what the level's league says.
    """

    area_runs: float = AREA_RUNS
    same_side_other_speed: float = SAME_SIDE_OTHER_SPEED
    in_play: float = 0.0


USUAL: Final = Assumed()
