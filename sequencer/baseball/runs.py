"""Runs: what a base-out state, an event and a count are worth to the hitting side.

The one door to `run_tables`, `event_runs` and `count_runs`, and the value of what happens in a
real situation: runs that score, plus the change in what is still expected.
"""

from sequencer.baseball.advancing import outs_in_play, results
from sequencer.baseball.count_runs import (
    COUNT_VALUES,
    TERMINAL_VALUES,
    count_values,
    count_values_at,
)
from sequencer.baseball.count_table import COUNT_TRANSITIONS, END_VALUES, NOTICE
from sequencer.baseball.event_runs import EVENT_NAMES, event_source, event_value
from sequencer.baseball.run_tables import (
    BASE_STATES,
    EXPECTANCY,
    STANDARD,
    RunTable,
    base_index,
    build_expectancy,
    expectancy,
    scaled,
    tally,
)
from sequencer.baseball.situation import Bases


def value_of(
    bases: Bases,
    outs: int,
    bases_after: Bases,
    outs_after: int,
    runs: float,
    table: RunTable = STANDARD,
) -> float:
    """Return the runs of going from one situation to another, relative to the first."""
    return runs + expectancy(table, bases_after, outs_after) - expectancy(table, bases, outs)


def play_value(play: str, bases: Bases, outs: int, table: RunTable = STANDARD) -> float:
    """Return the runs a play is worth on average in this situation, relative to it.

    Runners go as `advancing.results` has it.

    Parameters
    ----------
    play : str
        A play in play, or how the at-bat ended: one of `situation.ENDS`.
    bases, outs
        Before the play.
    table : RunTable
        In the level's run environment (`scaled`).

    Raises
    ------
    IllegalEntry
        If the play is unknown.
    """
    return sum(
        end.share * value_of(bases, outs, end.bases, end.outs, end.runs, table)
        for end in results(play, bases, outs)
    )


def out_in_play_value(bases: Bases, outs: int, table: RunTable = STANDARD) -> float:
    """Return the runs of a ball in play that is caught or thrown out, kinds of outs mixed."""
    return sum(
        share * play_value(play, bases, outs, table)
        for play, share in outs_in_play(bases, outs).items()
        if share
    )


__all__ = [
    "BASE_STATES",
    "COUNT_TRANSITIONS",
    "COUNT_VALUES",
    "END_VALUES",
    "EVENT_NAMES",
    "EXPECTANCY",
    "NOTICE",
    "STANDARD",
    "TERMINAL_VALUES",
    "RunTable",
    "base_index",
    "build_expectancy",
    "count_values",
    "count_values_at",
    "event_source",
    "event_value",
    "expectancy",
    "out_in_play_value",
    "play_value",
    "scaled",
    "tally",
    "value_of",
]
