"""Run expectancy by base-out state: the published tables, how to build one, how to move one.

Tables hold eight rows in the order of `BASE_STATES` (bit 1 first base, 2 second, 4 third) by
three columns, 0 to 2 outs; entries are runs to the end of the half.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import exp, log
from types import MappingProxyType
from typing import Final

from sequencer.baseball.situation import Bases
from sequencer.errors import BadInput

BASE_STATES: Final = ("---", "1--", "-2-", "12-", "--3", "1-3", "-23", "123")
#: Halves a side bats in a game of nine innings.
INNINGS: Final = 9

Grid = tuple[tuple[float, float, float], ...]


@dataclass(frozen=True, slots=True)
class RunTable:
    """Run expectancy of the 24 states.

    Attributes
    ----------
    name, source : str
    values : 8 rows of 3
        Runs to the end of the half, by base state and outs.
    """

    name: str
    source: str
    values: Grid

    @property
    def runs_per_game(self) -> float:
        """Runs of one side in nine innings: a half begins with the bases empty and none out."""
        return INNINGS * self.values[0][0]


def base_index(bases: Bases) -> int:
    """Return 0..7, the row of a table, from who is on base."""
    return bool(bases[0]) + 2 * bool(bases[1]) + 4 * bool(bases[2])


MAJOR_1999_2002: Final = RunTable(
    name="major 1999-2002",
    source="Tango, Lichtman, Dolphin (2006), The Book, table 1; re-made from Retrosheet 1999-2002",
    values=(
        (0.555, 0.297, 0.117),
        (0.953, 0.572, 0.251),
        (1.189, 0.724, 0.344),
        (1.571, 0.971, 0.465),
        (1.484, 0.983, 0.387),
        (1.902, 1.240, 0.536),
        (2.052, 1.467, 0.634),
        (2.416, 1.650, 0.813),
    ),
)
MAJOR_1984_1994: Final = RunTable(
    name="major 1984-1994",
    source="play-by-play of 1984-1994, Project Scoresheet and Baseball Workshop, as tabulated at "
    "nssl.noaa.gov, users brooks, feda datasets, expectedruns.html",
    values=(
        (0.49, 0.26, 0.10),
        (0.88, 0.52, 0.23),
        (1.13, 0.69, 0.33),
        (1.50, 0.92, 0.44),
        (1.37, 0.96, 0.38),
        (1.75, 1.17, 0.50),
        (1.98, 1.40, 0.61),
        (2.37, 1.57, 0.76),
    ),
)
COLLEGE_2009: Final = RunTable(
    name="college 2009",
    source="Zimmerman (10 June 2009), Beyond the Box Score: a Markov run calculator fed with "
    "Division I totals of 2009",
    values=(
        (0.70, 0.37, 0.13),
        (1.19, 0.69, 0.28),
        (1.34, 0.83, 0.40),
        (1.87, 1.19, 0.56),
        (1.56, 1.06, 0.44),
        (2.06, 1.39, 0.59),
        (2.21, 1.53, 0.71),
        (2.77, 1.94, 0.93),
    ),
)
EXPECTANCY: Final = MappingProxyType(
    {table.name: table for table in (MAJOR_1999_2002, MAJOR_1984_1994, COLLEGE_2009)}
)
#: The table used where nothing else is said.
STANDARD: Final = MAJOR_1999_2002


def expectancy(table: RunTable, bases: Bases, outs: int) -> float:
    """Return the runs expected to the end of the half; nothing once three are out.

    Raises
    ------
    BadInput
        If outs are not 0 to 3.
    """
    if not 0 <= outs <= 3:
        raise BadInput(f"There cannot be {outs} out.")
    return table.values[base_index(bases)][outs] if outs < 3 else 0.0


def build_expectancy(
    counts: Sequence[Sequence[float]],
    runs: Sequence[Sequence[float]],
    *,
    name: str = "own games",
    source: str = "counted",
    prior: RunTable | None = None,
    prior_weight: float = 0.0,
) -> RunTable:
    """Build a table from how often each state was met and the runs that followed.

    Parameters
    ----------
    counts, runs : 8 rows of 3
        In the order of `BASE_STATES` by outs.
    name, source : str
        Kept with the table.
    prior : RunTable, optional
        Table a thin state leans on, as if it had been met `prior_weight` times.
    prior_weight : float
        In times met.

    Raises
    ------
    BadInput
        If the shape is wrong, a number is negative, or a state was never met and nothing is
        there to lean on.
    """
    for grid in (counts, runs):
        if len(grid) != 8 or any(len(row) != 3 or min(row) < 0 for row in grid):
            raise BadInput("A run table needs 8 base states by 3 outs, none of them negative.")
    weight = prior_weight if prior else 0.0
    rows = []
    for state, (met, scored) in enumerate(zip(counts, runs, strict=True)):
        lean = prior.values[state] if prior else (0.0, 0.0, 0.0)
        rows.append(tuple(_mean(state, o, met[o], scored[o], weight, lean[o]) for o in range(3)))
    return RunTable(name, source, tuple((a, b, c) for a, b, c in rows))


def _mean(state: int, outs: int, met: float, scored: float, weight: float, lean: float) -> float:
    if met + weight <= 0:
        raise BadInput(
            f"The state {BASE_STATES[state]} with {outs} out was never met: add games, or a "
            "table to lean on."
        )
    return (scored + weight * lean) / (met + weight)


def tally(
    states: Iterable[tuple[Bases, int, float]],
) -> tuple[list[list[float]], list[list[float]]]:
    """Count states and the runs that followed, for `build_expectancy`.

    Parameters
    ----------
    states : iterable of (bases, outs, runs)
        One for each plate appearance: before it, and the runs from it to the end of the half.

    Returns
    -------
    counts, runs : 8 rows of 3
    """
    counts = [[0.0] * 3 for _ in BASE_STATES]
    runs = [[0.0] * 3 for _ in BASE_STATES]
    for bases, outs, scored in states:
        counts[base_index(bases)][outs] += 1
        runs[base_index(bases)][outs] += scored
    return counts, runs


def _slope(rows: Sequence[Sequence[float]]) -> float:
    """Least-squares slope on the log of runs a game, each row of tables with its own height."""
    x = [log(table.runs_per_game) for table in EXPECTANCY.values()]
    mean_x = sum(x) / len(x)
    across = sum(
        (a - mean_x) * (value - sum(row) / len(row))
        for row in rows
        for a, value in zip(x, row, strict=True)
    )
    return across / (len(rows) * sum((a - mean_x) ** 2 for a in x))


def _runner_share(table: RunTable, state: int, outs: int) -> float:
    """Return the runs a state adds to the bases empty, for each of its runners: 0 to 1."""
    added = table.values[state][outs] - table.values[0][outs]
    return added / _RUNNERS[state]


def _logit(share: float) -> float:
    return log(share / (1 - share))


_RUNNERS: Final = tuple(int(state).bit_count() for state in range(8))
# Fitted here to the three published tables (4.5 to 6.3 runs); beyond them an assumption. What
# the hitters to come will score grows as a power of runs a game, for each number of outs; the
# odds that a runner already on scores grow by one power for all.
_EMPTY_POWER: Final = (
    1.0,  # by definition: a half begins so
    *(_slope([[log(table.values[0][o]) for table in EXPECTANCY.values()]]) for o in (1, 2)),
)
_RUNNER_POWER: Final = _slope(
    [
        [_logit(_runner_share(table, state, o)) for table in EXPECTANCY.values()]
        for state in range(1, 8)
        for o in range(3)
    ]
)
_RANGE: Final = (1.0, 20.0)


def scaled(table: RunTable, runs_per_game: float) -> RunTable:
    """Move a table to another run environment.

    What hitters to come will score follows scoring; a runner on third mostly scores anyway.

    Parameters
    ----------
    table : RunTable
    runs_per_game : float
        Runs of one side in nine innings, 1 to 20.

    Raises
    ------
    BadInput
        If the environment is out of range.
    """
    low, high = _RANGE
    if not low <= runs_per_game <= high:
        raise BadInput(f"{runs_per_game:g} runs a game is out of range: use {low:g} to {high:g}.")
    ratio = log(runs_per_game / table.runs_per_game)
    rows = [tuple(_moved(table, state, o, ratio) for o in range(3)) for state in range(8)]
    return RunTable(
        f"{table.name} at {runs_per_game:g} runs",
        f"{table.source}; moved to {runs_per_game:g} runs a game",
        tuple((a, b, c) for a, b, c in rows),
    )


def _moved(table: RunTable, state: int, outs: int, ratio: float) -> float:
    to_come = table.values[0][outs] * exp(_EMPTY_POWER[outs] * ratio)
    if state == 0:
        return to_come
    share = min(max(_runner_share(table, state, outs), 0.001), 0.999)
    moved = 1 / (1 + exp(-_logit(share) - _RUNNER_POWER * ratio))
    return to_come + _RUNNERS[state] * moved
