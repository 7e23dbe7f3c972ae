"""Levels: what an age group or class of league brings, apart from its rules.

Every number of a level carries its source in `Level.sources`; an assumption says so, and a coach
can put his own league's number in its place.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Final

from sequencer.baseball.zone import Zone
from sequencer.errors import BadInput

_ASSUMED: Final = "assumption"
_PRACTICE: Final = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Level:
    """One age group or class of league.

    Attributes
    ----------
    name : str
    zone : Zone
        Default zone, inches above the ground, for a hitter without a height of his own.
    height_in : float
        Height of the usual hitter, inches.
    runs_per_game : float
        Runs of one side in nine innings.
    spread_in : mapping of family -> inches
        Standard deviation of the miss from the target, each direction.
    fastball_mph : float
        Usual fastball.
    pitching_distance_ft : float
    breaking_balls : bool
        Whether a plan has breaking balls unless the coach says otherwise.
    caution : str
        What to say beside a plan with breaking balls; empty when nothing.
    patience : float
        Most that taking may exceed the hitter's habit (1.0: no ceiling).
    strike_share, first_strike_share : float or None
        Published or usual share of strikes, of all pitches and of first pitches.
    error_share : float
        Share of balls put in play on which the hitter reaches by an error.
    called_edge_in : float
        How far beyond the zone's edge a taken pitch is still called a strike half the time.
    rules : str
        Rule set usual at this level.
    sources : mapping of field -> source
    """

    name: str
    zone: Zone
    height_in: float
    runs_per_game: float
    spread_in: Mapping[str, float] = field(hash=False)
    fastball_mph: float
    pitching_distance_ft: float
    breaking_balls: bool
    caution: str
    patience: float
    strike_share: float | None
    first_strike_share: float | None
    error_share: float
    called_edge_in: float
    rules: str
    sources: Mapping[str, str] = field(hash=False)


#: Soft and breaking pitches miss by a little more than the fastball. No published figure by target.
#: Measured on open professional tracking data in hitter's counts, where pitches are meant for
#: strikes: the same pitchers to the same side, by type, spread 1.01 times as wide off-speed (90 %
#: .95 to 1.04; 1,103 pitches) and 1.02 breaking (.99 to 1.10; 543), aims included. The wide ends of
#: both stand here; that it is so below the professionals is an assumption.
SPREAD_FACTOR: Final = MappingProxyType(
    {"fast": 1.0, "breaking": 1.10, "off-speed": 1.04, "unknown": 1.04}
)
#: Top and bottom of the zone as shares of a hitter's height: two public samples of measured
#: professional zones (40.3 to 41.2 and 19.0 to 19.3 inches) over a height of 73 inches.
ZONE_OF_HEIGHT: Final = (0.558, 0.262)
#: Many youth books put the top of the zone at the armpits (league rule books); share assumed.
YOUTH_ZONE_OF_HEIGHT: Final = (0.60, 0.262)

_CAUTION: Final = (
    "Breaking balls before a pitcher's fastball and change-up are sound are advised against; "
    "your league and a licensed professional decide."
)
_COMMON: Final = {
    "zone": "share of the usual height; shares from two public samples of measured zones",
    "height_in": "median height of boys in the middle of the age group, from growth charts; "
    "assumption",
    "spread_in": "assumption: no published figure by level; chosen so that a plan throws the usual "
    "strike shares, between levels that have any in steps; soft and breaking pitches wider by "
    "SPREAD_FACTOR",
    "fastball_mph": _PRACTICE,
    "breaking_balls": "Pitch Smart (MLB and USA Baseball): fastball and change-up only to 12",
    "caution": "Pitch Smart (MLB and USA Baseball)",
    "patience": _ASSUMED,
    "error_share": _ASSUMED,
    "called_edge_in": "assumption: amateur zones are called wider",
    "rules": _PRACTICE,
    "runs_per_game": _ASSUMED,
    "strike_share": "none found",
    "first_strike_share": "none found",
    "pitching_distance_ft": "published playing rules of the usual league at this age",
}
_YOUTH_ZONE: Final = (
    "assumption: armpits to knees, as many youth books have it, of the usual height"
)
_YOUTH_GOAL: Final = "fallsaces.org (2017): goals of 50 to 60 percent for youth; the middle"


def _spread(fast_in: float) -> Mapping[str, float]:
    return {family: round(fast_in * factor, 2) for family, factor in SPREAD_FACTOR.items()}


def zone_for_height(height_in: float, *, youth: bool = False) -> Zone:
    """Return the usual zone, in inches, of a hitter of this height.

    Raises
    ------
    BadInput
        If the height is not 36 to 90 inches.
    """
    if not 36 <= height_in <= 90:
        raise BadInput(f"A height of {height_in:g} inches cannot be right: use 36 to 90.")
    top, bottom = YOUTH_ZONE_OF_HEIGHT if youth else ZONE_OF_HEIGHT
    return Zone(round(top * height_in, 1), round(bottom * height_in, 1))


def _sources(**own: str) -> Mapping[str, str]:
    return _COMMON | own


_TABLE: Final = (
    Level(
        name="9-10",
        zone=zone_for_height(54.5, youth=True),
        height_in=54.5,
        runs_per_game=9.0,
        spread_in=_spread(13.0),
        fastball_mph=48.0,
        pitching_distance_ft=46.0,
        breaking_balls=False,
        caution=_CAUTION,
        patience=0.10,
        strike_share=0.55,
        first_strike_share=None,
        error_share=0.18,
        called_edge_in=2.0,
        rules="youth-46-young",
        sources=_sources(strike_share=_YOUTH_GOAL, zone=_YOUTH_ZONE),
    ),
    Level(
        name="11-12",
        zone=zone_for_height(58.7, youth=True),
        height_in=58.7,
        runs_per_game=7.5,
        spread_in=_spread(12.3),
        fastball_mph=57.0,
        pitching_distance_ft=46.0,
        breaking_balls=False,
        caution=_CAUTION,
        patience=0.10,
        strike_share=0.55,
        first_strike_share=None,
        error_share=0.13,
        called_edge_in=1.8,
        rules="youth-46",
        sources=_sources(strike_share=_YOUTH_GOAL, zone=_YOUTH_ZONE),
    ),
    Level(
        name="13-14",
        zone=zone_for_height(64.5),
        height_in=64.5,
        runs_per_game=7.0,
        spread_in=_spread(11.6),
        fastball_mph=67.0,
        pitching_distance_ft=54.0,
        breaking_balls=True,
        caution=_CAUTION,
        patience=0.10,
        strike_share=None,
        first_strike_share=None,
        error_share=0.09,
        called_edge_in=1.4,
        rules="junior-54",
        sources=_sources(),
    ),
    Level(
        name="15-16",
        zone=zone_for_height(68.3),
        height_in=68.3,
        runs_per_game=6.6,
        spread_in=_spread(10.9),
        fastball_mph=75.0,
        pitching_distance_ft=60.5,
        breaking_balls=True,
        caution="",
        patience=0.25,
        strike_share=0.611,
        first_strike_share=0.567,
        error_share=0.07,
        called_edge_in=1.1,
        rules="high-school",
        sources=_sources(
            strike_share="hsbaseballweb forum scorer: 65,800 high-school pitches, 15 springs",
            first_strike_share="hsbaseballweb forum scorer: 65,800 high-school pitches, 15 springs",
        ),
    ),
    Level(
        name="17-18",
        zone=zone_for_height(69.2),
        height_in=69.2,
        runs_per_game=6.4,
        spread_in=_spread(10.8),
        fastball_mph=80.0,
        pitching_distance_ft=60.5,
        breaking_balls=True,
        caution="",
        patience=0.25,
        strike_share=0.611,
        first_strike_share=0.569,
        error_share=0.05,
        called_edge_in=1.0,
        rules="high-school",
        sources=_sources(
            strike_share="hsbaseballweb forum scorer: 65,800 high-school pitches, 15 springs",
            first_strike_share="Sports Illustrated (11 Feb 2016): pool of amateur score-books",
        ),
    ),
    Level(
        name="college",
        zone=zone_for_height(72.0),
        height_in=72.0,
        runs_per_game=6.26,
        spread_in=_spread(9.6),
        fastball_mph=87.0,
        pitching_distance_ft=60.5,
        breaking_balls=True,
        caution="",
        patience=0.50,
        strike_share=None,
        first_strike_share=None,
        error_share=0.03,
        called_edge_in=0.4,
        rules="college",
        sources=_sources(
            runs_per_game="Zimmerman (10 June 2009), Beyond the Box Score: Division I, 2009",
        ),
    ),
    Level(
        name="pro",
        zone=zone_for_height(73.0),
        height_in=73.0,
        runs_per_game=4.6,
        spread_in=_spread(8.5),
        fastball_mph=93.0,
        pitching_distance_ft=60.5,
        breaking_balls=True,
        caution="",
        patience=1.0,
        strike_share=0.62,
        first_strike_share=0.59,
        error_share=0.012,
        called_edge_in=-0.13,
        rules="pro",
        sources=_sources(
            runs_per_game="Zimmerman (10 June 2009), Beyond the Box Score: 4.61, rounded",
            strike_share="447,569 of 717,053 pitches in 2009 were strikes",
            first_strike_share="FanGraphs library, league discipline averages, about 2014",
            error_share="Retrosheet 2016, 2019, 2020: reached on error per ball in play",
            spread_in="aimed at the middle at 3-0 it puts 60 to 61 percent in the zone: Greenhouse "
            "(2010), MLB.com (2020)",
            called_edge_in="fitted through two published called-strike points: 42 percent at a "
            "quarter inch off, 90 percent at 2.7 inches in",
        ),
    ),
)
LEVELS: Final = MappingProxyType({level.name: level for level in _TABLE})
#: The level of a book that does not say.
DEFAULT_LEVEL: Final = "17-18"


def level(name: str) -> Level:
    """Return a level by name; an empty name is the default.

    Raises
    ------
    BadInput
        If there is no such level.
    """
    found = LEVELS.get(name or DEFAULT_LEVEL)
    if found is None:
        raise BadInput(f"'{name}' is not a level: use one of {', '.join(LEVELS)}.")
    return found
