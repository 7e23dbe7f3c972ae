"""Published pitch limits and rest days: what they ask for, never medical advice.

The tables are in `pitch_limit_tables`. Every warning says that the league and a licensed
professional decide.
"""

import datetime as dt
from collections.abc import Iterable
from typing import Final

from sequencer.baseball.pitch_limit_tables import LIMITS, PitchLimits, RestRow
from sequencer.errors import BadInput

DECIDES: Final = "Your league and a licensed professional decide."


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
        left = row.maximum - pitches
        more = "1 pitch" if left == 1 else f"{left} pitches"
        return (f"{more} to the day's limit of {row.maximum}. {DECIDES}",)
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
        Earlier days he pitched; outings of one day are added up.
    row : RestRow
        Of his age.
    limits : PitchLimits
        The table the row is from.
    """
    by_day: dict[dt.date, int] = {}
    for day, pitches in outings:
        if day < today:
            by_day[day] = by_day.get(day, 0) + pitches
    for day in sorted(by_day, reverse=True):
        if (ready := eligible_on(day, by_day[day], row)) > today:
            return (
                f"{by_day[day]} pitches on {day.isoformat()} ask for "
                f"{_days(rest_days(by_day[day], row))} of rest by the {limits.name} table: ready "
                f"on {ready.isoformat()}. {DECIDES}"
            )
    run = 0
    while today - dt.timedelta(days=run + 1) in by_day:
        run += 1
    if run >= limits.days_in_a_row:
        return (
            f"He pitched on each of the last {_days(run)}: the {limits.name} table allows no more "
            f"than {limits.days_in_a_row} in a row. {DECIDES}"
        )
    return ""


__all__ = [
    "DECIDES",
    "LIMITS",
    "PitchLimits",
    "RestRow",
    "eligible_on",
    "limits",
    "may_pitch",
    "recorded",
    "rest_days",
    "warnings",
]
