"""Solve many small matrix games at once by one simplex run over a batch of tableaux.

One pivot is a rank-one update of every game in the batch, so NumPy does the work of all of them;
games that are done are left out as soon as they are half of the batch.
"""

import numpy as np

from sequencer.planning.arrays import Bools, Floats, Ints
from sequencer.planning.members import spread_out, stand_ins
from sequencer.planning.tableaux import Tableaux, WholeTableaux

ZERO = 1e-12
"""What counts as nought among payoffs scaled to [1, 2] (assumption: some 5,000 roundings)."""
REFRESHES = 3
"""Fresh starts of games that one run did not prove (measured: 2 mend all but freaks)."""
LIFTS = 1.0 - ZERO
"""Variables that cost less than this are brought in."""
PIVOT = 1e-11
"""Smallest pivot taken, likewise: a smaller one is mostly rounding (measured)."""


def solve_tableaux(
    payoffs: Floats,
    rows_on: Bools | None = None,
    columns_on: Bools | None = None,
    *,
    near: Ints | None = None,
) -> tuple[Floats, Floats]:
    """Find mixes of both sides for every game of a batch by the simplex method.

    With costs above nought the column player's problem is: the largest sum of u with
    ``costs @ u <= 1``, ``u >= 0``; his mix is u / sum, and the prices of the constraints are the
    row player's mix (Dantzig 1951). Pivots are capped: a game that stalls gives its best mixes so
    far, and it is for the caller to measure them.

    Parameters
    ----------
    payoffs
        (games, rows, columns): rows minimise, columns maximise. Quicker when rows are few.
    rows_on, columns_on
        (games, rows) and (games, columns): which of them belong to the game; at least one of each.
        All, when absent; the others get exactly nought.
    near
        (games, some): columns to begin with, such as those of a solution nearby. The safest one,
        when absent (measured: saves a sixth of the pivots).

    Returns
    -------
    tuple of arrays
        (games, rows) and (games, columns), each row a probability mix; not a number where a game
        lost all its digits.
    """
    if rows_on is not None and not rows_on.all():
        members = stand_ins(rows_on)
        payoffs = np.take_along_axis(payoffs, members[:, :, None], axis=1)
        x, y = solve_tableaux(payoffs, None, columns_on, near=near)
        return spread_out(x, members, rows_on.shape[1]), y
    if columns_on is not None and not columns_on.all():
        members = stand_ins(columns_on)
        payoffs = np.take_along_axis(payoffs, members[:, None, :], axis=2)
        x, y = solve_tableaux(payoffs, near=near)
        return x, spread_out(y, members, columns_on.shape[1])
    with np.errstate(all="ignore"):
        tableaux = Tableaux.of_games(payoffs)
        _bring_in_each(tableaux, _safest(tableaux) if near is None else near)
        _lower_costs(tableaux)
        return tableaux.mixes()


def solve_with_care(payoffs: Floats) -> tuple[Floats, Floats]:
    """Find mixes as ``solve_tableaux`` does where rows and columns are nearly alike.

    Their small pivots cost digits, and a basis can only seem optimal: so tableaux are kept whole,
    and worked out anew where they stand.
    """
    with np.errstate(all="ignore"):
        tableaux = WholeTableaux.of_games(payoffs)
        _bring_in_each(tableaux, _safest(tableaux))
        _lower_costs(tableaux)
        for _ in range(REFRESHES):
            basis, tableaux = tableaux.basis, WholeTableaux.of_games(payoffs)
            tableaux.bring_in(basis)
            _lower_costs(tableaux)
            _meet_limits(tableaux)
        return tableaux.mixes()


def _bring_in_each(tableaux: Tableaux, columns: Ints) -> None:
    """Pivots on given columns, (games, some), in turn, each where it still lifts the sum."""
    for column in columns.T:
        rates = tableaux.rates(column)
        row, can = _tightest(tableaux, rates)
        tableaux.pivot(can & (rates[:, -1] < -ZERO), row, column, rates)


def _lower_costs(tableaux: Tableaux) -> None:
    """Primal pivots, in place: bring in a variable that lifts the sum until none does."""
    games, part = np.arange(tableaux.basis.shape[0]), tableaux
    patience = 2 * (tableaux.columns + tableaux.rows) + 10
    for turn in range(4 * patience):
        by_number = turn > patience  # Bland 1977: cannot cycle
        costs = part.costs()
        variable = (costs < LIFTS).argmax(axis=1) if by_number else costs.argmin(axis=1)
        rates = part.rates(variable)
        row, can = _tightest(part, rates, by_number=by_number)
        live = can & (costs[np.arange(games.size), variable] < LIFTS)
        left = np.count_nonzero(live)
        if left == 0:
            break
        part.pivot(live, row, variable, rates)
        if 2 * left < games.size:
            tableaux.put(games, part)
            games, part = games[live], part.some(live)
    tableaux.put(games, part)


def _meet_limits(tableaux: WholeTableaux) -> None:
    """Dual pivots, in place: drive out a variable below nought until none is, costs kept."""
    games = np.arange(tableaux.basis.shape[0])
    for _ in range(4 * tableaux.rows):
        row = tableaux.amounts.argmin(axis=1)
        gives = -tableaux.inverse[games, row, :-1]
        over = np.maximum(tableaux.inverse[:, -1, :-1], ZERO)
        ease = np.where(gives > PIVOT, gives / over, 0.0)
        variable = ease.argmax(axis=1)
        live = (tableaux.amounts[games, row] < -ZERO) & (ease[games, variable] > 0.0)
        if not live.any():
            break
        tableaux.pivot(live, row, variable, tableaux.rates(variable))


def _safest(tableaux: Tableaux) -> Ints:
    """(games, 1): the column that costs least at worst."""
    safest: Ints = tableaux.cells.max(axis=1).argmin(axis=1)
    return safest[:, None]


def _tightest(tableaux: Tableaux, rates: Floats, *, by_number: bool = False) -> tuple[Ints, Bools]:
    """Find the row that limits what comes in at some rates, and whether any does.

    Limits of nought are told apart by their rates: the largest pivot keeps most digits.
    """
    limited = rates[:, :-1]
    tightness = np.where(limited > PIVOT, limited / np.maximum(tableaux.amounts, ZERO), 0.0)
    row = tightness.argmax(axis=1)
    tightest = tightness[np.arange(row.size), row]
    if by_number:
        tied = tightness >= tightest[:, None] * (1.0 - ZERO)
        row = np.where(tied, tableaux.basis, np.iinfo(np.intp).max).argmin(axis=1)
    return row, tightest > 0.0
