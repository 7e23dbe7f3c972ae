"""How far a fitted league may be off: errors of its steps, and fits as other games would give."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Final
from zlib import crc32

import numpy as np

from sequencer.baseball.pitches import FAMILIES
from sequencer.baseball.zone import COLUMNS, ROWS, target_uv
from sequencer.estimates import sandwich
from sequencer.estimates.arrays import Bools, Floats, Ints, expit
from sequencer.estimates.sandwich import Problem, Spread
from sequencer.estimates.takes import TAKE_PITCHES

if TYPE_CHECKING:
    import pandas as pd

    from sequencer.estimates.league import League

#: Resampled fits that a coefficient file holds, and the seed they are drawn from.
DRAWS: Final = 20
SEED: Final = 20
#: No game has more pitches: a longer one is many that nobody named, and its pitches are taken
#: together as they stand in the log, a game's worth at a time (common practice: 250 to 350).
MOST_IN_A_GAME: Final = 700
USUAL_GAME: Final = 300
#: Games below which a spread is a rough one (common practice for errors by group: eight or more).
FEW_GAMES: Final = 8
#: Where errors are told: the cells' centres along u and v, both rising.
CELLS_U: Final = np.array([target_uv(f"belt-{column}")[0] for column in COLUMNS])
CELLS_V: Final = np.array([target_uv(f"{row}-middle")[1] for row in reversed(ROWS)])
_FIGURES: Final = 3
#: The count errors are told at.
_EVEN: Final = (1, 1)
_EVEN_COUNT: Final = 4
#: Precision of takes that are held, and the least slope of one over its log odds: of hardly any.
_HELD: Final = 1e8
_LEAST_SLOPE: Final = 1e-3


@dataclass(frozen=True, slots=True)
class Doubt:
    """How far every step of a fitted league may be off.

    Attributes
    ----------
    errors : name -> (families, cells up, cells across)
        Standard error of a step at 1-1, the hitter from either side alike: log odds, but runs for
        `in_play`. Cells stand in the order of `CELLS_V` and `CELLS_U`.
    moves : name -> (draws, coefficients)
        What each resampled fit adds to the coefficients of a step.
    take_share : (draws, 4, 3)
        Share of pitches taken whatever comes, of each resampled fit.
    by : name -> str
        What was taken together: "game", "hitter" or "pitch", whichever gave the largest errors;
        "prior" where the log had too little and the step is that of the league leaned on.
    games : name -> int
        Games that a step rests on; with fewer than `FEW_GAMES` its errors are rough.
    cannot : name -> str
        Why the spread of a step is not known. Its errors are then what they are at least: those
        of pitches that have nothing to do with each other.
    """

    errors: dict[str, Floats]
    moves: dict[str, Floats]
    take_share: Floats
    by: dict[str, str] = field(default_factory=dict)
    games: dict[str, int] = field(default_factory=dict)
    cannot: dict[str, str] = field(default_factory=dict)

    @property
    def draws(self) -> int:
        """How many resampled fits there are."""
        return len(self.take_share)

    def error(self, step: str, family: str, u: Floats, v: Floats) -> Floats:
        """Return a step's standard error at places, between the cells' centres on a straight line.

        Beyond the outer cells it is theirs; an unknown family has the mean of the three.
        """
        table = self.errors[step]
        here = table[FAMILIES.index(family)] if family in FAMILIES else table.mean(0)
        (i, across), (j, up) = _between(CELLS_U, u), _between(CELLS_V, v)
        low = here[j, i] * (1.0 - across) + here[j, i + 1] * across
        high = here[j + 1, i] * (1.0 - across) + here[j + 1, i + 1] * across
        return np.asarray(low * (1.0 - up) + high * up)


def _between(centres: Floats, x: Floats) -> tuple[Ints, Floats]:
    """Return the centre below each place, and the part of the way to the next one."""
    at = np.clip(np.interp(x, centres, np.arange(len(centres), dtype=np.float64)), 0.0, None)
    below = np.minimum(at.astype(np.intp), len(centres) - 2)
    return below, at - below


@dataclass(frozen=True, slots=True)
class Groups:
    """What goes together in a log.

    Attributes
    ----------
    by : name -> (n,)
        Number of each pitch's group by "game" and, where hitters are told apart, by "hitter".
    named : bool
        Whether the log names its games.
    """

    by: dict[str, Ints]
    named: bool

    def games(self, which: Ints) -> int:
        """Return how many games these rows are of, as named or as cut from a log without names."""
        return len(np.unique(self.by["game"][which]))

    def cannot(self, which: Ints) -> str:
        """Return why a spread is not known on these rows; empty when it is."""
        if self.games(which) != 1:
            return ""
        rests = "rests on one game" if self.named else "no games are named"
        return f"{rests}: spread cannot be known"


def groups_of(frame: "pd.DataFrame", column: str = "hitter") -> Groups:
    """Return what goes together in a log's rows.

    Parameters
    ----------
    frame : DataFrame
        Rows in the order thrown; `game_id` or `game`, and the person's column or its id.
    column : str
        The person that a second way of grouping goes by.
    """
    games, have = named(frame, "game")
    game = np.unique(_cut(games), return_inverse=True)[1].astype(np.intp)
    people, known = named(frame, column)
    by = {"game": game}
    if known.any():
        # Who is not known goes with his game.
        apart = np.where(known, people, game + people.max(initial=0) + 1)
        by[column] = np.unique(apart, return_inverse=True)[1].astype(np.intp)
    return Groups(by, bool(have.any()))


def named(frame: "pd.DataFrame", column: str) -> tuple[Ints, Bools]:
    """Return a number for each word of a column (its id when there is one), and which are words."""
    name = next((x for x in (f"{column}_id", column) if x in frame), None)
    if name is None:
        return np.zeros(len(frame), dtype=np.intp), np.zeros(len(frame), dtype=np.bool_)
    values = frame[name]
    known = (values.notna() & (values.astype(str).str.strip() != "")).to_numpy(dtype=np.bool_)
    words = np.where(known, values.astype(str).to_numpy(dtype=object), "").astype(np.str_)
    return np.unique(words, return_inverse=True)[1].astype(np.intp), known


def _cut(game: Ints) -> Ints:
    """Return games numbered so that one too long to be a game is many."""
    out = game.copy()
    fresh = int(game.max(initial=0)) + 1
    for one in np.flatnonzero(np.bincount(game, minlength=1) > MOST_IN_A_GAME):
        rows = np.flatnonzero(game == one)
        out[rows] = fresh + np.arange(len(rows)) // USUAL_GAME
        fresh = int(out.max()) + 1
    return out


@dataclass(frozen=True, slots=True)
class Fitted:
    """One step as it was fitted.

    Attributes
    ----------
    problem : Problem
    coefficients, penalty : array (k,)
        The fit, and the precision of its prior.
    which : int array (n,)
        Rows of the log that it was fitted on; none when the prior stands as it was.
    cells : array (75, k)
        Design of the cells at 1-1: families, then up, then across.
    """

    problem: Problem
    coefficients: Floats
    penalty: Floats
    which: Ints
    cells: Floats


def cells() -> tuple[Ints, Floats, Floats]:
    """Return family, u and v of the cells, each (75,), in the order of `Doubt.errors`."""
    family, v, u = np.meshgrid(np.arange(len(FAMILIES)), CELLS_V, CELLS_U, indexing="ij")
    return family.ravel().astype(np.intp), u.ravel(), v.ravel()


def doubt_of(
    fits: Mapping[str, Fitted],
    groups: Groups,
    take: Floats,
    count: Ints,
    before: "Doubt | None" = None,
    *,
    take_held: bool = False,
) -> Doubt:
    """Return how far fitted steps may be off.

    Parameters
    ----------
    fits : mapping
        Step -> as it was fitted.
    groups : Groups
        Of the log's rows.
    take : array (4, 3)
        Share taken whatever comes.
    count : int array (rows of the log,)
        Balls times three and strikes.
    before : Doubt, optional
        Of the league that the fits lean on; it may be off as well.
    take_held : bool
        Whether the takes were given, not fitted.
    """
    spreads, moves = {}, {}
    errors: dict[str, Floats] = {}
    for i, (step, fitted) in enumerate(fits.items()):
        by = {name: group[fitted.which] for name, group in groups.by.items()}
        if step == "swing":
            spread, at = _with_takes(fitted, by, take, count, held=take_held)
            centre = _centre_with_takes(take, before, len(fitted.coefficients))
        else:
            at = fitted.cells
            spread = sandwich.spread_of(fitted.problem, fitted.coefficients, fitted.penalty, by, at)
            centre = _centre(step, before, len(spread.half))
        found = spread.errors(at, centre)
        errors[step] = short(found.reshape(len(FAMILIES), len(CELLS_V), len(CELLS_U)))
        moves[step] = spread.drawn(DRAWS, _chance(i, centre), centre)
        spreads[step] = spread.by if len(fitted.which) else "prior"
    takes = _takes(take, moves["swing"][:, -take.size :], before, held=take_held)
    kept = {step: short(moves[step][:, : len(fits[step].coefficients)]) for step in fits}
    cannot = {step: groups.cannot(fitted.which) for step, fitted in fits.items()}
    games = {step: groups.games(fitted.which) for step, fitted in fits.items()}
    cannot = {step: why for step, why in cannot.items() if why}
    return Doubt(errors, kept, takes, spreads, games, cannot)


def by_cell(doubt: Doubt, step: str) -> dict[str, dict[str, float]]:
    """Return a step's standard errors by family and cell, in words."""
    rows = tuple(reversed(ROWS))
    return {
        family: {
            f"{row}-{column}": float(doubt.errors[step][f, j, i])
            for j, row in enumerate(rows)
            for i, column in enumerate(COLUMNS)
        }
        for f, family in enumerate(FAMILIES)
    }


def typical(league: "League") -> dict[str, float]:
    """Return a typical standard error of every step: of its chance, but runs for `in_play`.

    The median over cells and families at 1-1; none where the league's file does not say.
    """
    doubt = league.fitted.doubt
    if doubt is None:
        return {}
    found = {}
    u, v = np.meshgrid(CELLS_U, CELLS_V)
    told = [league.steps(family, u, v, *_EVEN, 0.5) for family in FAMILIES]
    for step, errors in doubt.errors.items():
        here = np.array([getattr(steps, step) for steps in told])
        chance = here if step == "hit_by_pitch" else expit(here)
        slope = 1.0 if step == "in_play" else chance * (1.0 - chance)
        found[step] = float(np.median(errors * slope))
    return found


def _with_takes(
    fitted: Fitted, by: dict[str, Ints], take: Floats, count: Ints, *, held: bool
) -> tuple[Spread, Floats]:
    """Return the spread of the swing and its takes together, and the cells' design of both.

    Takes that are held are off by what those of the league leaned on are, and by nothing else.
    """
    counts = take.size
    problem = sandwich.with_takes(fitted.problem, fitted.coefficients, take, count[fitted.which])
    more = np.full(counts, _HELD) if held else sandwich.take_precision(take, TAKE_PITCHES)
    penalty = np.concatenate([fitted.penalty, more])
    both = np.pad(fitted.coefficients, (0, counts))
    ready = expit(fitted.cells @ fitted.coefficients)
    at = sandwich.swing_rows(fitted.cells, ready, float(take[_EVEN]), _EVEN_COUNT, counts)
    return sandwich.spread_of(problem, both, penalty, by, at), at


def _chance(step: int, centre: Floats) -> np.random.Generator:
    """Return what a step's draws are made by: other chance than its prior's draws were made by."""
    seen = [crc32(np.ascontiguousarray(centre).tobytes())] if len(centre) else []
    return np.random.default_rng([SEED, step, *seen])


def _centre(step: str, before: Doubt | None, k: int) -> Floats:
    """Return draws (draws, k) of what the prior's centre is off by; none where that is unknown."""
    if before is None or before.moves.get(step, np.empty((0, 0))).shape[1] != k:
        return np.empty((0, k))
    return before.moves[step]


def _centre_with_takes(take: Floats, before: Doubt | None, k: int) -> Floats:
    """Return `_centre` of the swing with what the takes' log odds are off by, (draws, k + 12).

    To first order: a draw in which nobody takes would be endless log odds away.
    """
    centre = _centre("swing", before, k)
    if before is None or not len(centre):
        return np.empty((0, k + take.size))
    slope = np.maximum(take * (1.0 - take), _LEAST_SLOPE)
    return np.hstack([centre, ((before.take_share - take) / slope).reshape(-1, take.size)])


def _takes(take: Floats, moves: Floats, before: Doubt | None, *, held: bool) -> Floats:
    """Return the takes of every draw: moved with the swing or, held, those of the prior's."""
    if not held:
        return short(sandwich.take_draws(take, moves))
    if before is not None and before.draws:
        return before.take_share[np.arange(DRAWS) % before.draws]
    return np.tile(take, (DRAWS, 1, 1))


def short(values: Floats) -> Floats:
    """Return values to three figures: a draw needs no more, and a file of them stays small."""
    size = 10.0 ** (np.floor(np.log10(np.maximum(np.abs(values), 1e-12))) - (_FIGURES - 1))
    return np.asarray(np.round(values / size) * size)


def built(body: dict[str, Any]) -> Doubt:
    """Return a doubt from what a coefficient file holds of it."""
    errors, moves = (
        {step: np.array(values, dtype=np.float64) for step, values in body[name].items()}
        for name in ("errors", "moves")
    )
    shape = (len(FAMILIES), len(CELLS_V), len(CELLS_U))
    take = np.array(body["take_share"], dtype=np.float64)
    if {table.shape for table in errors.values()} != {shape} or take.shape[1:] != (4, 3):
        raise ValueError("errors of other cells or counts")
    if {len(moved) for moved in moves.values()} != {len(take)}:
        raise ValueError("draws that differ in number")
    return Doubt(errors, moves, take, dict(body["by"]), dict(body["games"]), dict(body["cannot"]))
