"""Solve many small matrix games at once by one simplex run over a batch of condensed tableaux.

One pivot is a rank-one update of every game in the batch, so NumPy does the work of all of them;
a game that is done stops taking part.
"""

import numpy as np

from sequencer.planning.arrays import Bools, Floats, Ints

PIVOT = 1e-11
"""Smallest pivot taken, of payoffs scaled to [1, 2]: a smaller one costs digits (measured)."""
ZERO = 1e-12
"""What counts as nought among payoffs scaled to [1, 2] (assumption: some 5,000 roundings)."""


def solve_tableaux(
    payoffs: Floats, calls_on: Bools, looks_on: Bools, finest: float = PIVOT
) -> tuple[Floats, Floats]:
    """Find mixes of both sides for every game of a batch by the primal simplex method.

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
    finest
        The smallest pivot taken.

    Returns
    -------
    tuple of arrays
        (games, calls) and (games, looks), each row a probability mix, nought where not on.
    """
    games, calls, looks = payoffs.shape
    tableau = _first_tableau(payoffs, calls_on, looks_on)
    labels = np.tile(np.arange(calls + looks), (games, 1))  # what each column, then row, stands for
    patience = 2 * (calls + looks) + 10
    live = np.arange(games)
    for turn in range(4 * patience):
        numbers = labels if turn > patience else None
        live, column = _entering(tableau, live, numbers)
        if live.size == 0:
            break
        row = _leaving(tableau, live, column, numbers, finest)
        _pivot(tableau, live, row, column)
        into, out = labels[live, calls + row], labels[live, column]
        labels[live, column], labels[live, calls + row] = into, out
    return _read_mixes(tableau, labels, calls)


def scale_of(payoffs: Floats, on: Bools) -> tuple[Floats, Floats]:
    """Lowest payoff and range of every game over the cells that are on, each (games,)."""
    low = payoffs.min(axis=(1, 2), where=on, initial=np.inf)
    return low, payoffs.max(axis=(1, 2), where=on, initial=-np.inf) - low


def _first_tableau(payoffs: Floats, calls_on: Bools, looks_on: Bools) -> Floats:
    """(games, looks + 1, calls + 1): constraints by variables; last column limits, last row costs.

    A call or look that is off is a column or row of noughts, which no pivot ever touches.
    """
    games, calls, looks = payoffs.shape
    on = calls_on[:, :, None] & looks_on[:, None, :]
    low, spread = scale_of(payoffs, on)
    spread = np.where(spread > 0.0, spread, 1.0)
    tableau = np.zeros((games, looks + 1, calls + 1))
    inner = (payoffs - low[:, None, None]) / spread[:, None, None] + 1.0
    tableau[:, :looks, :calls] = np.where(on, inner, 0.0).transpose(0, 2, 1)
    tableau[:, :looks, calls] = 1.0
    tableau[:, looks, :calls] = np.where(calls_on, -1.0, 0.0)
    return tableau


def _entering(tableau: Floats, live: Ints, numbers: Ints | None) -> tuple[Ints, Ints]:
    """Games not yet optimal and the column that enters: steepest, or lowest number when stalled."""
    costs = tableau[live, -1, :-1]
    improves = costs < -ZERO
    going = improves.any(axis=1)
    live, costs, improves = live[going], costs[going], improves[going]
    if numbers is not None:  # Bland 1977: cannot cycle
        return live, _lowest_number(numbers[live, : costs.shape[1]], improves)
    steepest: Ints = costs.argmin(axis=1)
    return live, steepest


def _leaving(
    tableau: Floats, live: Ints, column: Ints, numbers: Ints | None, finest: float
) -> Ints:
    """Row that leaves: the tightest limit; among ties the largest pivot, or lowest number."""
    rates = tableau[live, :-1, column]
    limits = np.maximum(tableau[live, :-1, -1], 0.0)
    open_rows = rates > finest
    steps = np.where(open_rows, limits / np.where(open_rows, rates, 1.0), np.inf)
    tied = open_rows & (steps <= steps.min(axis=1, keepdims=True) * (1.0 + ZERO) + ZERO)
    if numbers is not None:
        return _lowest_number(numbers[live, tableau.shape[2] - 1 :], tied)
    largest: Ints = np.where(tied, rates, -1.0).argmax(axis=1)
    return largest


def _lowest_number(numbers: Ints, among: Bools) -> Ints:
    place: Ints = np.where(among, numbers, np.iinfo(np.intp).max).argmin(axis=1)
    return place


def _pivot(tableau: Floats, live: Ints, row: Ints, column: Ints) -> None:
    """Exchange a row and a column of every live game, in place."""
    everything = live.size == tableau.shape[0]
    pivots = tableau[live, row, column]
    new_row = tableau[live, row] / pivots[:, None]
    old_column = tableau[live, :, column]
    change = old_column[:, :, None] * new_row[:, None, :]
    if everything:
        tableau -= change
    else:
        tableau[live] -= change
    tableau[live, row] = new_row
    tableau[live, :, column] = -old_column / pivots[:, None]
    tableau[live, row, column] = 1.0 / pivots


def _read_mixes(tableau: Floats, labels: Ints, calls: int) -> tuple[Floats, Floats]:
    """Mixes of both sides from the limits of calls in use and the prices of tight looks."""
    games = tableau.shape[0]
    weights = np.concatenate([tableau[:, -1, :-1], tableau[:, :-1, -1]], axis=1)
    of_columns, of_rows = labels[:, :calls], labels[:, calls:]
    is_call = np.concatenate([of_columns >= calls, of_rows < calls], axis=1)
    by_label = np.zeros_like(weights)
    by_label[np.arange(games)[:, None], labels] = np.where(is_call, weights, 0.0)
    return _as_mix(by_label[:, :calls]), _as_mix(by_label[:, calls:])


def _as_mix(weights: Floats) -> Floats:
    weights = np.maximum(weights, 0.0)
    mix: Floats = weights / weights.sum(axis=1, keepdims=True)
    return mix
