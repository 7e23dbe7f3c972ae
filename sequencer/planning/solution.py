"""What a solved at-bat is."""

from dataclasses import dataclass, fields, replace
from typing import Self

from sequencer.planning.arrays import Floats


@dataclass(frozen=True, eq=False)
class AtBatSolution:
    """The solved at-bat; arrays lead with (hitters,) when several were solved.

    Attributes
    ----------
    value
        (4, 3, lasts) runs, of the game in which a look is drawn from the habit with the chance
        ``trust`` and is else a best reply.
    mix, looks
        (4, 3, lasts, calls) and (4, 3, lasts, looks): the call mix and the best replier's looks.
    gap
        (4, 3, lasts) certificate of each stage, at least nought: what best replies to the two
        mixes differ by, and with two strikes how far the value may be from the fixed point.
    """

    value: Floats
    mix: Floats
    looks: Floats
    gap: Floats

    def one(self, hitter: int) -> Self:
        """Pick one hitter of several."""
        return replace(self, **{f.name: getattr(self, f.name)[hitter] for f in fields(self)})
