"""Marks: what a coach can say of a hitter in one key, and what each says about him.

A mark shifts traits by prior standard deviations. Common practice, no source: the directions are
what coaches mean by the words; the sizes are assumptions, weak enough that pitches seen overrule
them.
"""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final, NamedTuple

from sequencer.errors import BadInput

SOURCE: Final = "Common practice, no source"

#: Traits a mark can move: what each measures, positive meaning more of it.
TRAITS: Final = MappingProxyType(
    {
        "contact": "makes contact when he swings",
        "power": "runs when he puts it in play",
        "chase": "swings off the plate",
        "chase_up": "swings above the zone",
        "chase_breaking": "swings at breaking pitches low and away",
        "fast": "contact and value against fast pitches",
        "breaking": "contact and value against breaking pitches",
        "offspeed": "contact and value against off-speed pitches",
        "up": "contact and value up",
        "down": "contact and value down",
        "inside": "contact and value inside",
        "outside": "contact and value away",
        "timing_late": "late on what he swings at",
        "pull": "pulls what he hits",
        "first_pitch": "swings at the first pitch",
        "aggressive": "swings rather than takes",
        "swing_breaking": "swings at breaking pitches",
        "fast_belief": "looks for a fast pitch",
        "two_strike_chase": "swings off the plate with two strikes",
        "protect": "shortens up with two strikes",
        "foul": "fouls off good pitches with two strikes",
        "bunt": "bunts",
        "speed": "runs well",
        "hit_by_pitch": "is hit by pitches in on him",
    }
)

#: How much of a mark's shift is applied: by how often it was seen, the throwing it was seen
#: against, and whether it was a swing or only a stance (assumptions).
HOW_OFTEN: Final = MappingProxyType({"once": 0.5, "some": 1.0, "always": 1.5})
SEEN_IN: Final = MappingProxyType({"swing": 1.0, "stance": 1 / 3})
#: Late against soft throwing says more than late against hard; early the other way round.
AGAINST: Final = MappingProxyType({"": 1.0, "soft": 1.3, "average": 1.0, "hard": 0.7})


class Mark(NamedTuple):
    """One mark: its name, the shift of each trait in prior standard deviations, how it reads.

    `throwing` is +1 where the mark says more against soft throwing, -1 where it says more
    against hard, 0 where the speed does not matter.
    """

    name: str
    shifts: Mapping[str, float]
    says: str
    throwing: int = 0
    source: str = SOURCE


_TABLE: Final = (
    Mark(
        "late on the fastball",
        {"fast": -1.5, "timing_late": 1.5, "offspeed": 0.3},
        "the fastball beats him; soft pitches speed his bat up",
        throwing=1,
    ),
    Mark(
        "out front on soft",
        {"offspeed": -1.2, "breaking": -0.6, "timing_late": -0.8, "pull": 0.6},
        "ahead of anything slow",
        throwing=-1,
    ),
    Mark(
        "sits fastball",
        {"fast_belief": 1.2, "offspeed": -0.5, "breaking": -0.5},
        "waits for the fastball in hitter's counts",
    ),
    Mark("first-pitch swinger", {"first_pitch": 1.5}, "up there to hit the first pitch"),
    Mark("takes until a strike", {"first_pitch": -1.5, "aggressive": -0.4}, "lets one go by"),
    Mark("swings at everything", {"aggressive": 1.2, "chase": 1.2}, "no plan at the plate"),
    Mark("good eye", {"aggressive": -0.5, "chase": -1.2}, "leaves balls alone"),
    Mark(
        "chases low-away",
        {"chase_breaking": 1.5, "breaking": -0.7},
        "goes after the breaking ball low and away",
    ),
    Mark("climbs the ladder", {"chase_up": 1.5, "up": -0.7}, "goes after the high fastball"),
    Mark("expands with two strikes", {"two_strike_chase": 1.3}, "swings at more with two strikes"),
    Mark(
        "shortens up with two strikes",
        {"protect": 1.3, "contact": 0.3, "power": -0.3},
        "puts it in play with two strikes",
    ),
    Mark("spoils good pitches", {"foul": 1.3}, "stays alive with fouls"),
    Mark("pulls off", {"outside": -1.2, "pull": 0.8}, "front side leaves; steps in the bucket"),
    Mark(
        "dives",
        {"outside": 1.0, "inside": -1.0, "hit_by_pitch": 0.8},
        "steps toward the plate",
    ),
    Mark(
        "crowds the plate",
        {"inside": -0.8, "outside": 0.8, "hit_by_pitch": 1.0},
        "on top of the plate",
    ),
    Mark(
        "stands off the plate",
        {"outside": -1.0, "hit_by_pitch": -0.6},
        "far from the plate",
    ),
    Mark("ties up inside", {"inside": -1.3, "fast": -0.3}, "jammed by the fastball in"),
    Mark("extends", {"outside": 0.8, "power": 0.5}, "drives the ball away from him"),
    Mark("goes the other way", {"outside": 0.8, "pull": -1.2}, "hits it where it is pitched"),
    Mark(
        "long swing",
        {"inside": -0.8, "up": -0.6, "contact": -0.6, "fast": -0.4, "power": 0.6},
        "a hitch or a long way to the ball",
    ),
    Mark("uppercut", {"down": 0.8, "up": -0.9, "power": 0.3}, "swings up at it"),
    Mark("chops down", {"up": 0.7, "down": -0.8, "power": -0.6}, "down to the ground"),
    Mark(
        "bails on the curve",
        {"breaking": -1.4, "swing_breaking": -0.7},
        "front foot leaves on the breaking ball",
    ),
    Mark(
        "freezes on the curve",
        {"breaking": -0.8, "swing_breaking": -1.3},
        "watches the breaking ball go by",
    ),
    Mark("punishes the hanger", {"breaking": 0.6, "up": 0.6}, "hits the curve that stays up"),
    Mark("pull hitter", {"pull": 1.4, "outside": -0.6}, "everything to his side"),
    Mark("bunts and slaps", {"bunt": 1.5, "speed": 0.6, "power": -0.9}, "puts it down and goes"),
    Mark("runs", {"speed": 1.4, "bunt": 0.4, "power": -0.2}, "runs well"),
)
MARKS: Final = MappingProxyType({mark.name: mark for mark in _TABLE})


def shifts(
    name: str, *, how_often: str = "some", against: str = "", seen_in: str = "swing"
) -> dict[str, float]:
    """Return trait -> shift, in prior standard deviations, of one mark as it was seen.

    Raises
    ------
    BadInput
        If a word is not in the tables.
    """
    mark = MARKS.get(name)
    if mark is None:
        raise BadInput(f"'{name}' is not a mark: use one of {', '.join(MARKS)}.")
    for word, table in ((how_often, HOW_OFTEN), (against, AGAINST), (seen_in, SEEN_IN)):
        if word not in table:
            raise BadInput(
                f"'{word}' does not go with a mark: use {', '.join(filter(None, table))}."
            )
    weight = HOW_OFTEN[how_often] * SEEN_IN[seen_in] * AGAINST[against] ** mark.throwing
    return {trait: weight * shift for trait, shift in mark.shifts.items()}
