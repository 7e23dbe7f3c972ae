"""Published pitch limits and rest days: tables with a version and a date, never medical advice.

The tables are data: a league that counts otherwise is another table. Every warning says that the
league and a licensed professional decide.
"""

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Final

from sequencer.errors import BadInput

DECIDES: Final = "Your league and a licensed professional decide."


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
    as_of : datetime.date
        When the copy used here was current; look for a newer one.
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
    as_of: dt.date
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
    as_of=dt.date(2024, 1, 1),
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
    as_of=dt.date(2018, 5, 1),
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
    as_of=dt.date(2023, 1, 1),
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
_STATE: Final = "Washington state high-school association, 2017 (one of 44 with limits)"
#: One state's high-school table; each state has its own.
HIGH_SCHOOL_STATE: Final = PitchLimits(
    name="high school, one state",
    version="2017",
    as_of=dt.date(2017, 1, 1),
    source=_STATE,
    rows=(RestRow(14, 19, 105, (30, 50, 75), _STATE),),
    finish_batter=True,
)
LIMITS: Final = MappingProxyType(
    {
        limits.name: limits
        for limits in (PITCH_SMART, PITCH_SMART_2018, YOUTH_REGULATION, HIGH_SCHOOL_STATE)
    }
)


def limits(name: str) -> PitchLimits:
    """Return a set of limits by name.

    Raises
    ------
    BadInput
        If there is none of this name.
    """
    if name not in LIMITS:
        raise BadInput(f"'{name}' is not a table of pitch limits: use {', '.join(LIMITS)}.")
    return LIMITS[name]


def rest_days(pitches: int, row: RestRow) -> int:
    """Return the calendar days of rest a number of recorded pitches asks for.

    Raises
    ------
    BadInput
        If the number is negative.
    """
    if pitches < 0:
        raise BadInput(f"{pitches} pitches cannot have been thrown.")
    return sum(pitches > threshold for threshold in row.thresholds)


def recorded(before_batter: int, after_batter: int, row: RestRow, *, finish_batter: bool) -> int:
    """Return the pitches that count for rest when the last batter was finished.

    With `finish_batter`, a threshold (or the day's limit) reached during the last at-bat is what
    is recorded: 34 before the batter and 39 after are 35.

    Raises
    ------
    BadInput
        If the numbers run backwards.
    """
    if not 0 <= before_batter <= after_batter:
        raise BadInput(
            f"A pitcher cannot go from {before_batter} to {after_batter} pitches in one at-bat."
        )
    if not finish_batter:
        return after_batter
    marks = sorted({*row.thresholds, row.maximum})
    crossed = [mark for mark in marks if before_batter < mark <= after_batter]
    return crossed[0] if crossed else after_batter


def eligible_on(pitched: dt.date, pitches: int, row: RestRow) -> dt.date:
    """Return the first day he may pitch again: rest days are whole calendar days."""
    return pitched + dt.timedelta(days=rest_days(pitches, row) + 1)


def warnings(
    pitches: int, row: RestRow, *, before: int = 5, finish_batter: bool = False
) -> tuple[str, ...]:
    """Return sentences to show beside a pitch count, most pressing first.

    Parameters
    ----------
    pitches : int
        Pitches thrown today.
    row : RestRow
        Of his age.
    before : int
        How many pitches before a threshold to begin (common practice, no source).
    finish_batter : bool
        Whether he may finish the batter at a threshold.
    """
    if pitches >= row.maximum:
        more = ", and may finish this batter" if finish_batter and pitches == row.maximum else ""
        return (f"{pitches} pitches: the day's limit is {row.maximum}{more}. {DECIDES}",)
    if row.maximum - pitches <= before:
        return (f"{row.maximum - pitches} pitches to the day's limit of {row.maximum}. {DECIDES}",)
    days = rest_days(pitches, row)
    to_next = [mark for mark in row.thresholds if 0 <= mark - pitches < before]
    if to_next:
        return (
            f"{pitches} pitches: more than {to_next[0]} asks for {_days(days + 1)} of rest. "
            f"{DECIDES}",
        )
    return ()


def _days(number: int) -> str:
    return "1 day" if number == 1 else f"{number} days"


def may_pitch(
    today: dt.date, outings: Iterable[tuple[dt.date, int]], row: RestRow, limits: PitchLimits
) -> str:
    """Return why he may not pitch today by the table, or an empty string.

    Parameters
    ----------
    today : datetime.date
    outings : iterable of (date, recorded pitches)
        Earlier days he pitched.
    row : RestRow
        Of his age.
    limits : PitchLimits
        The table the row is from.
    """
    past = sorted((day, pitches) for day, pitches in outings if day < today)
    for day, pitches in reversed(past):
        if (ready := eligible_on(day, pitches, row)) > today:
            return (
                f"{pitches} pitches on {day.isoformat()} ask for {_days(rest_days(pitches, row))} "
                f"of rest by the {limits.name} table: ready on {ready.isoformat()}. {DECIDES}"
            )
    days = {day for day, _ in past}
    run = 0
    while today - dt.timedelta(days=run + 1) in days:
        run += 1
    if run >= limits.days_in_a_row:
        return (
            f"He pitched on each of the last {_days(run)}: the {limits.name} table allows no more "
            f"than {limits.days_in_a_row} in a row. {DECIDES}"
        )
    return ""
