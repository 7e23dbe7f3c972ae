"""What a count is worth: published values, and the same computed from transitions."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from sequencer.baseball.count import COUNTS, START, Count, parse
from sequencer.baseball.count_table import COUNT_TRANSITIONS, END_VALUES
from sequencer.baseball.event_runs import EVENT_NAMES, event_value
from sequencer.errors import BadInput

#: Runs of a count to the hitter, less those of 0-0: mean linear weight of the plate appearances
#: that pass through it (standard error .0026 at most). Computed from Retrosheet 2016, 2019, 2020;
#: see `count_table.NOTICE`.
COUNT_VALUES: Final = MappingProxyType(
    {
        Count(0, 0): 0.000,
        Count(1, 0): 0.037,
        Count(2, 0): 0.097,
        Count(3, 0): 0.203,
        Count(0, 1): -0.043,
        Count(1, 1): -0.015,
        Count(2, 1): 0.035,
        Count(3, 1): 0.138,
        Count(0, 2): -0.102,
        Count(1, 2): -0.079,
        Count(2, 2): -0.039,
        Count(3, 2): 0.053,
    }
)
#: Runs of the ends a count can come to, in the same seasons.
TERMINAL_VALUES: Final = MappingProxyType(
    {end: END_VALUES[end] for end in ("walk", "strikeout", "hit by pitch")}
)


def count_values(
    transitions: Mapping[str, Mapping[str, float]] = COUNT_TRANSITIONS,
    event_values: Mapping[str, float] = END_VALUES,
) -> dict[Count, float]:
    """Compute what each count is worth from where it leads, less the worth of 0-0.

    A count is worth the mean of what follows; a foul with two strikes stays and is solved for.

    Parameters
    ----------
    transitions : mapping of count -> what follows -> share
        Shares need not sum to one exactly: they are taken relative to their sum.
    event_values : mapping of how an at-bat ends -> runs

    Returns
    -------
    dict of Count -> runs

    Raises
    ------
    BadInput
        If a count leads nowhere or an end has no value.
    """
    values: dict[Count, float] = {}
    for count in sorted(COUNTS, key=sum, reverse=True):
        values[count] = _worth(count, transitions.get(str(count), {}), values, event_values)
    return {count: values[count] - values[START] for count in COUNTS}


def _worth(
    count: Count,
    follows: Mapping[str, float],
    values: Mapping[Count, float],
    event_values: Mapping[str, float],
) -> float:
    stays = follows.get(str(count), 0.0)
    leaves = sum(follows.values()) - stays
    if leaves <= 0:
        raise BadInput(f"The count {count} leads nowhere: give the share of what follows it.")
    total = 0.0
    for to, share in follows.items():
        if to == str(count):
            continue
        if to[:1].isdigit():
            total += share * values[parse(to)]
        elif to in event_values:
            total += share * event_values[to]
        else:
            raise BadInput(f"The end '{to}' of a plate appearance has no run value.")
    return total / leaves


def count_values_at(runs_per_game: float) -> dict[Count, float]:
    """Return count values in another run environment: the same transitions, its event values.

    That a level's counts lead where professional ones do is an assumption.
    """
    return count_values(
        COUNT_TRANSITIONS, {event: event_value(event, runs_per_game) for event in EVENT_NAMES}
    )
