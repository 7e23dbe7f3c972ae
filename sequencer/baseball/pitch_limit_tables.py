"""Published pitch limits and rest days, as data: each table with its version, date and source.

A league that counts otherwise is another table here and a line in `LIMITS`.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Final

from sequencer.errors import BadInput


@dataclass(frozen=True, slots=True)
class RestRow:
    """One age group: most pitches in a day, and the most allowed for each number of rest days.

    `thresholds[d]` is the most pitches that ask for no more than d days of rest; more than the
    last asks for one day more than its place.
    """

    youngest: int
    oldest: int
    maximum: int
    thresholds: tuple[int, ...]
    source: str


@dataclass(frozen=True, slots=True)
class PitchLimits:
    """One published set of limits.

    Attributes
    ----------
    name, version, source : str
    as_of : str
        Date of the copy used here, as far as it gives one; look for a newer one.
    rows : tuple of RestRow
        By age, youngest first.
    finish_batter : bool
        A pitcher who reaches a threshold during an at-bat may finish it, and the threshold is
        recorded.
    days_in_a_row : int
        Most consecutive days with a pitch thrown.
    may_not_catch_after : int or None
        This many pitches in a game, and he may not catch for the rest of the day.
    may_not_pitch_after_innings_caught : int or None
    innings_a_year : mapping of (youngest, oldest) -> innings
    """

    name: str
    version: str
    as_of: str
    source: str
    rows: tuple[RestRow, ...]
    finish_batter: bool
    days_in_a_row: int = 2
    may_not_catch_after: int | None = None
    may_not_pitch_after_innings_caught: int | None = None
    innings_a_year: Mapping[tuple[int, int], int] = field(default_factory=dict, hash=False)

    def row(self, age: int) -> RestRow:
        """Return the row of an age.

        Raises
        ------
        BadInput
            If the table has no row for this age.
        """
        for row in self.rows:
            if row.youngest <= age <= row.oldest:
                return row
        raise BadInput(
            f"The {self.name} table has no row for age {age}: it goes from "
            f"{self.rows[0].youngest} to {self.rows[-1].oldest}."
        )


_SMART: Final = "Pitch Smart, MLB and USA Baseball"
_SMART_YOUTH: Final = (20, 35, 50, 65)
_SMART_TEEN: Final = (30, 45, 60, 75)
_SMART_18: Final = (30, 45, 60, 80)
#: Pitch Smart by age; the copies that print 61-80 for three days at 17-18.
PITCH_SMART: Final = PitchLimits(
    name="Pitch Smart",
    version="17-18 with 61-80 pitches for three days",
    as_of="later copies, undated",
    source=_SMART,
    rows=(
        RestRow(7, 8, 50, (20, 35, 50), f"{_SMART}, ages 7-8"),
        RestRow(9, 10, 75, _SMART_YOUTH, f"{_SMART}, ages 9-10"),
        RestRow(11, 12, 85, _SMART_YOUTH, f"{_SMART}, ages 11-12"),
        RestRow(13, 14, 95, _SMART_YOUTH, f"{_SMART}, ages 13-14"),
        RestRow(15, 16, 95, _SMART_TEEN, f"{_SMART}, ages 15-16"),
        RestRow(17, 18, 105, _SMART_18, f"{_SMART}, ages 17-18"),
        RestRow(19, 22, 120, (*_SMART_18, 105), f"{_SMART}, ages 19-22; 4 and 5 days from memory"),
    ),
    finish_batter=False,
    innings_a_year={(7, 8): 60, (9, 12): 80, (13, 18): 100},
)
#: The same with the older 17-18 row in circulation.
PITCH_SMART_2018: Final = PitchLimits(
    name="Pitch Smart 2018",
    version="17-18 with 61-75 pitches for three days",
    as_of="May 2018",
    source=f"{_SMART}, copy of May 2018",
    rows=(
        *PITCH_SMART.rows[:5],
        RestRow(17, 18, 105, _SMART_TEEN, f"{_SMART}, ages 17-18, copy of May 2018"),
        PITCH_SMART.rows[6],
    ),
    finish_batter=False,
    innings_a_year=PITCH_SMART.innings_a_year,
)
_YOUTH: Final = "a national youth programme's regular-season pitching regulation, league copies"
#: The common youth regulation: finish the batter, record the threshold.
YOUTH_REGULATION: Final = PitchLimits(
    name="youth regulation",
    version="regular season",
    as_of="league copies, undated",
    source=_YOUTH,
    rows=(
        RestRow(7, 8, 50, (20, 35, 50), _YOUTH),
        RestRow(9, 10, 75, _SMART_YOUTH, _YOUTH),
        RestRow(11, 12, 85, _SMART_YOUTH, _YOUTH),
        RestRow(13, 14, 95, _SMART_YOUTH, _YOUTH),
        RestRow(15, 16, 95, _SMART_TEEN, _YOUTH),
        RestRow(17, 18, 105, _SMART_TEEN, f"{_YOUTH}; 105 from memory"),
    ),
    finish_batter=True,
    may_not_catch_after=41,
    may_not_pitch_after_innings_caught=4,
)
_STATES: Final = "state high-school association, one of 44 with limits by 2017"


def _state(name: str, ages: tuple[int, int], most: int, marks: tuple[int, ...]) -> PitchLimits:
    source = f"{name} {_STATES}"
    return PitchLimits(
        name=f"high school, {name}",
        version="varsity, regular season",
        as_of="2017",
        source=source,
        rows=(RestRow(*ages, most, marks, source),),
        finish_batter=True,
    )


_HIGH_SCHOOL_AGES: Final = (13, 19)
#: States' own high-school tables; the national rule leaves the figures to each state.
WASHINGTON_STATE: Final = _state("Washington", _HIGH_SCHOOL_AGES, 105, (30, 50, 75))
MINNESOTA: Final = _state("Minnesota", _HIGH_SCHOOL_AGES, 105, (30, 50, 75))
NORTH_CAROLINA: Final = _state("North Carolina", _HIGH_SCHOOL_AGES, 105, (30, 45, 60, 75))
NORTH_DAKOTA: Final = _state("North Dakota", _HIGH_SCHOOL_AGES, 120, (30, 45, 60, 75))

_CANADA: Final = "Baseball Canada and Ontario, by age class; copy at portdoverminorbaseball.com"
#: Age classes: 9U holds ages to 9, 11U ages 10 and 11, and so on.
AGE_CLASSES: Final = PitchLimits(
    name="age classes",
    version="9U to 22U",
    as_of="copy undated",
    source=_CANADA,
    rows=(
        RestRow(6, 9, 50, (20, 35, 50), f"{_CANADA}; 9U, printed 20-35 for one day"),
        RestRow(10, 11, 75, (25, 40, 55, 65), f"{_CANADA}; 11U"),
        RestRow(12, 13, 85, (30, 45, 60, 75), f"{_CANADA}; 13U"),
        RestRow(14, 15, 95, (35, 50, 65, 80), f"{_CANADA}; 15U"),
        RestRow(16, 18, 105, (40, 55, 70, 85), f"{_CANADA}; 18U"),
        RestRow(19, 22, 115, (45, 60, 75, 90), f"{_CANADA}; 22U"),
    ),
    finish_batter=False,
)
LIMITS: Final = MappingProxyType(
    {
        limits.name: limits
        for limits in (
            PITCH_SMART,
            PITCH_SMART_2018,
            YOUTH_REGULATION,
            AGE_CLASSES,
            WASHINGTON_STATE,
            MINNESOTA,
            NORTH_CAROLINA,
            NORTH_DAKOTA,
        )
    }
)
