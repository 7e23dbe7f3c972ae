"""Solve many small matrix games at once by one simplex run over a batch of tableaux.

One pivot is a rank-one update of every game in the batch, so NumPy does the work of all of them;
a game that is done stops taking part.
"""

import numpy as np

from sequencer.planning.arrays import Bools, Floats, Ints
from sequencer.planning.tableaux import Tableaux

ZERO = 1e-12
"""What counts as nought among payoffs scaled to [1, 2] (assumption: some 5,000 roundings)."""
PIVOT = 1e-11
"""Smallest pivot taken, likewise: a smaller one is mostly rounding (measured)."""


def solve_tableaux(
    payoffs: Floats, calls_on: Bools, looks_on: Bools, refreshes: int = 0
) -> tuple[Floats, Floats]:
    """Find mixes of both sides for every game of a batch by the simplex method.

    With payoffs above nought the row player's problem is: the largest sum of u with
    ``payoffs.T @ u <= 1``, ``u >= 0``; then the value is 1 / sum, his mix u / sum, and the prices
    of the constraints are the column player's mix (Dantzig 1951). Pivots are capped: a game that
    stalls gives its best mixes so far, and it is for the caller to measure them.

    Parameters
    ----------
    payoffs
        (games, calls, looks): rows minimise, columns maximise.
    calls_on, looks_on
        (games, calls) and (games, looks): which of them belong to the game; at least one of each.
    refreshes
        How often to work out the tableaux anew where they stand and go on. Calls and looks that are
        nearly alike need it: their small pivots cost digits, and a basis can only seem optimal.

    Returns
    -------
    tuple of arrays
        (games, calls) and (games, looks), each row a probability mix, nought where not on; not a
        number where a game lost all its digits.
    """
    with np.errstate(all="ignore"):
        tableaux = Tableaux.of_games(payoffs, calls_on, looks_on)
        _lower_costs(tableaux)
        for _ in range(refreshes):
            worked, tableaux = tableaux, Tableaux.of_games(payoffs, calls_on, looks_on)
            tableaux.bring_in(worked)
            _lower_costs(tableaux)
            _meet_limits(tableaux)
        return tableaux.mixes()


def _lower_costs(tableaux: Tableaux) -> None:
    """Primal pivots, in place: bring in a call that lowers the cost until none does."""
    games, patience = tableaux.labels.shape[0], 2 * tableaux.labels.shape[1] + 10
    live = np.arange(games)
    for turn in range(4 * patience):
        by_number = turn > patience  # Bland 1977: cannot cycle
        live, column = _entering(tableaux, live, by_number=by_number)
        if live.size == 0:
            break
        tableaux.pivot(live, _leaving(tableaux, live, column, by_number=by_number), column)


def _entering(tableaux: Tableaux, live: Ints, *, by_number: bool) -> tuple[Ints, Ints]:
    """Games not yet optimal and the column that enters: steepest, or lowest number when stalled."""
    costs = tableaux.cells[live, -1, :-1]
    improves = costs < -ZERO
    going = improves.any(axis=1)
    live, costs, improves = live[going], costs[going], improves[going]
    if by_number:
        return live, _lowest_number(tableaux.of_columns[live], improves)
    steepest: Ints = costs.argmin(axis=1)
    return live, steepest


def _leaving(tableaux: Tableaux, live: Ints, column: Ints, *, by_number: bool) -> Ints:
    """Row that leaves: the tightest limit; among ties the largest pivot, or lowest number."""
    rates = tableaux.cells[live, :-1, column]
    limits = np.maximum(tableaux.cells[live, :-1, -1], 0.0)
    tied = _smallest(limits, rates)
    if by_number:
        return _lowest_number(tableaux.of_rows[live], tied)
    largest: Ints = np.where(tied, rates, -1.0).argmax(axis=1)
    return largest


def _meet_limits(tableaux: Tableaux) -> None:
    """Dual pivots, in place: drive out a row below nought until none is, costs kept in order."""
    live = np.arange(tableaux.labels.shape[0])
    for _ in range(4 * tableaux.labels.shape[1]):
        limits = tableaux.cells[live, :-1, -1]
        row, broken = limits.argmin(axis=1), limits.min(axis=1) < -ZERO
        live, row = live[broken], row[broken]
        rates = -tableaux.cells[live, row, :-1]
        can = (rates > PIVOT).any(axis=1)
        live, row, rates = live[can], row[can], rates[can]
        if live.size == 0:
            break
        tied = _smallest(np.maximum(tableaux.cells[live, -1, :-1], 0.0), rates)
        tableaux.pivot(live, row, np.where(tied, rates, -1.0).argmax(axis=1))


def _smallest(amounts: Floats, rates: Floats) -> Bools:
    """Where amount over rate is smallest, within rounding, among the rates above nought."""
    ahead = rates > PIVOT
    steps = np.where(ahead, amounts / np.where(ahead, rates, 1.0), np.inf)
    smallest: Bools = ahead & (steps <= steps.min(axis=1, keepdims=True) * (1.0 + ZERO) + ZERO)
    return smallest


def _lowest_number(numbers: Ints, among: Bools) -> Ints:
    place: Ints = np.where(among, numbers, np.iinfo(np.intp).max).argmin(axis=1)
    return place
