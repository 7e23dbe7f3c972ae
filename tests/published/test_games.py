"""Games with published or exactly computable solutions; the source stands beside each.

Textbooks have the row player maximise; here rows minimise, so their matrices are turned over.
"""

import warnings
from math import sqrt

import nashpy
import numpy as np
import pytest

from sequencer.cli.bench_games import program
from sequencer.planning.arrays import Floats
from sequencer.planning.at_bat import AtBatSolution, solve_at_bat
from sequencer.planning.matrix_game import solve_games

Mix = tuple[float, ...]

# name, matrix (row player maximises), value, row mix, column mix (None: not unique)
MATRICES: list[tuple[str, list[list[float]], float, Mix, Mix | None]] = [
    # Schecter, game theory problem sheet (2004): batter guesses and pitcher throws F, C; computed
    ("guess the pitch", [[0.4, 0.2], [0.1, 0.5]], 0.3, (2 / 3, 1 / 3), (1 / 2, 1 / 2)),
    # COMAP, For All Practical Purposes, ch. 15
    ("guess the pitch, textbook", [[0.3, 0.2], [0.1, 0.5]], 0.26, (0.8, 0.2), (0.6, 0.4)),
    # Dixit and Skeath, Games of Strategy, exercise: anticipate and throw C, F; computed
    ("anticipate", [[2, -1], [-1, 4]], 7 / 8, (5 / 8, 3 / 8), (5 / 8, 3 / 8)),
    # the same, part (c): the pitcher gains by slowing his fastball
    ("anticipate, slower", [[2, -1], [-1, 3]], 5 / 7, (4 / 7, 3 / 7), (4 / 7, 3 / 7)),
    # Barron, Game Theory: An Introduction; computed: the third pitch is never thrown
    (
        "three pitches",
        [[0.30, 0.25, 0.20], [0.26, 0.33, 0.28], [0.28, 0.30, 0.33]],
        2 / 7,
        (2 / 7, 0, 5 / 7),
        (5 / 7, 2 / 7, 0),
    ),
    # Schecter, the same sheet: run or pass; computed
    ("run or pass", [[0.5, 0.8], [0.7, 0.2]], 0.575, (5 / 8, 3 / 8), (3 / 4, 1 / 4)),
    # Strang, MIT 18.085 lecture
    ("lecture", [[4, 2], [1, 7]], 3.25, (3 / 4, 1 / 4), (5 / 8, 3 / 8)),
    # Swartz (2012), Game theory and baseball, part 3: 50 % strikes, 50 % swings
    ("strike or ball", [[-1, 1], [1, -1]], 0, (1 / 2, 1 / 2), (1 / 2, 1 / 2)),
    # the same, with a great curve: 56 % strikes, 44 % swings
    ("great curve", [[-1, 1], [1.5, -1]], 1 / 9, (5 / 9, 4 / 9), (4 / 9, 5 / 9)),
    # Kuhn, lectures on game theory, ch. 12
    ("saddle point", [[-2, -3], [-1, 3]], -1, (0, 1), (1, 0)),
    # Palacios-Huerta (2003), Review of Economic Studies 70: penalty kicks by natural side
    (
        "penalty kick",
        [[58.30, 94.97], [92.91, 69.92]],
        79.573,
        (0.38535, 0.61465),
        (0.41988, 0.58012),
    ),
    # classical
    ("rock, paper, scissors", [[0, -1, 1], [1, 0, -1], [-1, 1, 0]], 0, (1 / 3,) * 3, (1 / 3,) * 3),
    # computed
    (
        "weighted rock, paper, scissors",
        [[0, -1, 2], [1, 0, -1], [-2, 1, 0]],
        0,
        (0.25, 0.5, 0.25),
        (0.25, 0.5, 0.25),
    ),
    # computed: each in proportion to one over its payoff
    (
        "diagonal",
        [[1, 0, 0], [0, 2, 0], [0, 0, 3]],
        6 / 11,
        (6 / 11, 3 / 11, 2 / 11),
        (6 / 11, 3 / 11, 2 / 11),
    ),
    # Ferguson, Game Theory
    ("odd or even", [[-2, 3], [3, -4]], 1 / 12, (7 / 12, 5 / 12), (7 / 12, 5 / 12)),
    # classical; value checked by linear programming; the column mix is not unique
    (
        "Colonel Blotto",
        [[4, 2, 1, 0], [1, 3, 0, -1], [-2, 2, 2, -2], [-1, 0, 3, 1], [0, 1, 2, 4]],
        14 / 9,
        (4 / 9, 0, 1 / 9, 0, 4 / 9),
        None,
    ),
]


NAMES = [matrix[0] for matrix in MATRICES]


@pytest.mark.parametrize(("name", "matrix", "value", "rows", "columns"), MATRICES, ids=NAMES)
def test_published_matrix_games(
    name: str, matrix: list[list[float]], value: float, rows: Mix, columns: Mix | None
) -> None:
    tolerance = 5e-4 if name == "penalty kick" else 1e-12  # as many digits as were printed
    solution = solve_games(np.array([matrix], dtype=float).transpose(0, 2, 1))
    assert solution.value[0] == pytest.approx(value, abs=tolerance)
    assert solution.looks[0] == pytest.approx(rows, abs=min(tolerance, 1e-5))
    if columns is not None:
        assert solution.calls[0] == pytest.approx(columns, abs=min(tolerance, 1e-5))
    assert solution.gap[0] < 1e-12


@pytest.mark.parametrize(("name", "matrix", "value"), [m[:3] for m in MATRICES], ids=NAMES)
@pytest.mark.parametrize("by", ["linear program", "vertices"])
def test_nashpy_finds_the_same_values(
    by: str, name: str, matrix: list[list[float]], value: float
) -> None:
    rows, columns = by_nashpy(by, np.array(matrix, dtype=float))
    found = rows @ np.array(matrix) @ columns
    assert found == pytest.approx(value, abs=5e-4 if name == "penalty kick" else 1e-9)
    ours = solve_games(np.array([matrix], dtype=float).transpose(0, 2, 1)).value[0]
    assert ours == pytest.approx(found, abs=1e-9)


def by_nashpy(by: str, matrix: Floats) -> tuple[Floats, Floats]:
    """First equilibrium (rows maximise) that one of nashpy's ways finds."""
    game = nashpy.Game(matrix - matrix.min() + 1.0)
    if by == "linear program":
        rows, columns = game.linear_program()
    else:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", RuntimeWarning)  # it says that a game is degenerate
            rows, columns = next(game.vertex_enumeration())
    return np.asarray(rows), np.asarray(columns)


@pytest.mark.parametrize(("name", "matrix", "value"), [m[:3] for m in MATRICES], ids=NAMES)
def test_scipy_finds_the_same_values(name: str, matrix: list[list[float]], value: float) -> None:
    found = -program(-np.array(matrix))
    assert found == pytest.approx(value, abs=5e-4 if name == "penalty kick" else 1e-9)


def test_another_published_mix_of_colonel_blotto_guarantees_as_much() -> None:
    """The column mix is not unique: (1, 8, 8, 1) / 18 holds every row to 14/9 too."""
    name, matrix, value, _, columns = MATRICES[-1]
    assert name == "Colonel Blotto" and columns is None
    assert (np.array(matrix) @ np.array([1, 8, 8, 1]) / 18).max() == pytest.approx(value, abs=1e-12)


def test_penalty_kicks_round_to_the_published_shares() -> None:
    """Palacios-Huerta (2003) prints 38.54 and 61.46 for kickers, 41.99 and 58.01 for keepers."""
    (matrix,) = [m[1] for m in MATRICES if m[0] == "penalty kick"]
    solution = solve_games(np.array([matrix]).transpose(0, 2, 1))
    assert 100 * solution.looks[0] == pytest.approx((38.54, 61.46), abs=0.006)
    assert 100 * solution.calls[0] == pytest.approx((41.99, 58.01), abs=0.006)


# Swartz (2012), Game theory and baseball, part 5: the batter sees "fastball" with chance x on a
# fastball and y on a curve, and may swing, take or follow the sign; the pitcher throws F or C.
# x, y, percentage of fastballs as published, share, value and batter's mix; exact here.
SIGNS = [
    (0.9, 0.4, 31, 4 / 13, 5 / 13, (0.0, 3 / 13, 10 / 13)),
    (0.9, 0.5, 36, 5 / 14, 2 / 7, (0.0, 2 / 7, 5 / 7)),
]


@pytest.mark.parametrize(("x", "y", "printed", "fastballs", "value", "batter"), SIGNS)
def test_a_batter_who_sees_a_noisy_sign(
    x: float, y: float, printed: int, fastballs: float, value: float, batter: Mix
) -> None:
    matrix = np.array([[1.0, -1.0], [-1.0, 1.0], [2 * x - 1, 1 - 2 * y]])
    solution = solve_games(matrix.T[None])
    assert solution.value[0] == pytest.approx(value, abs=1e-12)
    assert solution.calls[0] == pytest.approx((fastballs, 1 - fastballs), abs=1e-12)
    assert round(100 * solution.calls[0][0]) == printed
    assert solution.looks[0] == pytest.approx(batter, abs=1e-12)


def test_a_curve_that_is_harder_to_read_is_thrown_less_often() -> None:
    signs = np.array([[[1, -1], [-1, 1], [0.8, 1 - 2 * y]] for y in (0.3, 0.4, 0.5, 0.6)])
    curves = solve_games(signs.transpose(0, 2, 1)).calls[:, 1]
    assert (np.diff(curves) < 0.0).all()


# Jane Street monthly puzzle, October 2025 ("Robot Baseball"): ball or strike against wait or swing.
# A swing at a strike is a home run, 4 points, with chance p, else a strike; a walk is 1 point. The
# published answer is the chance of a full count at the p that maximises it; values re-solved.
BEST_P, FULL_COUNT = 0.2269732325, 0.2959679934

# count, value, share of strikes (which is the share of swings)
ROBOTS: dict[float, list[tuple[str, float, float]]] = {
    0.25: [
        ("0-0", 0.688157, 0.273333),
        ("1-0", 0.779526, 0.287002),
        ("2-0", 0.879728, 0.273801),
        ("3-0", 0.966173, 0.186047),
        ("0-1", 0.445250, 0.258157),
        ("1-1", 0.530595, 0.299301),
        ("2-1", 0.650450, 0.345946),
        ("3-1", 9 / 11, 0.363636),
        ("0-2", 1 / 5, 0.200000),
        ("1-2", 1 / 4, 0.250000),
        ("2-2", 1 / 3, 0.333333),
        ("3-2", 1 / 2, 0.500000),
    ],
    BEST_P: [
        ("0-0", 0.648447, 0.287122),
        ("1-0", 0.742550, 0.307855),
        ("2-0", 0.851395, 0.304782),
        ("3-0", 0.953980, 0.221794),
        ("0-1", 0.414804, 0.265407),
        ("1-1", 0.497837, 0.310484),
        ("2-1", 0.617396, 0.364599),
        ("3-1", 0.792510, 0.395868),
        ("0-2", 0.184986, 0.203753),
        ("1-2", 0.232323, 0.255892),
        ("2-2", 0.312217, 0.343892),
        ("3-2", 0.475862, 0.524138),
    ],
}


def count_of(text: str) -> tuple[int, int, int]:
    """A count as an index: balls, strikes, and the only last pitch there is."""
    return int(text[0]), int(text[2]), 0


def robots(p: float) -> AtBatSolution:
    """Calls ball, strike; looks wait, swing."""
    outcomes = np.zeros((4, 3, 1, 2, 2, 5))
    outcomes[..., 0, 0, 0] = 1.0
    outcomes[..., 0, 1, 1] = 1.0
    outcomes[..., 1, 0, 1] = 1.0
    outcomes[..., 1, 1, 3] = p
    outcomes[..., 1, 1, 1] = 1.0 - p
    return solve_at_bat(outcomes, np.full(outcomes.shape[:-1], 4.0), [0, 0], 1.0, 0.0, 0.0)


def visits(p: float) -> tuple[Floats, dict[str, float]]:
    """Chance of each count, and of each end, when two robots play their best."""
    solution = robots(p)
    chance = np.zeros((5, 4))
    chance[0, 0], homers = 1.0, 0.0
    for balls, strikes in np.ndindex(4, 3):
        here = chance[balls, strikes]
        strike, swing = solution.mix[balls, strikes, 0, 1], solution.looks[balls, strikes, 0, 1]
        chance[balls + 1, strikes] += here * (1 - strike) * (1 - swing)
        homers += here * strike * swing * p
        chance[balls, strikes + 1] += here * (1 - (1 - strike) * (1 - swing) - strike * swing * p)
    ends = {"strikeout": chance[:4, 3].sum(), "walk": chance[4].sum(), "home run": homers}
    return chance, {name: float(share) for name, share in ends.items()}


@pytest.mark.parametrize("p", list(ROBOTS))
def test_robot_baseball_count_by_count(p: float) -> None:
    solution = robots(p)
    for text, value, strikes in ROBOTS[p]:
        where = count_of(text)
        assert solution.value[where] == pytest.approx(value, abs=1e-6)
        assert solution.mix[where][1] == pytest.approx(strikes, abs=1e-6)
        assert solution.looks[where][1] == pytest.approx(strikes, abs=1e-6)
    assert solution.gap.max() < 1e-12


@pytest.mark.parametrize(
    ("p", "value", "full_value", "strikes", "full_count"),
    [
        (0.10, 0.346690, 2 / 7, 0.714286, 0.2510016026),
        (0.50, 0.919179, 2 / 3, 1 / 3, 0.1841802176),
    ],
)
def test_robot_baseball_at_other_strengths(
    p: float, value: float, full_value: float, strikes: float, full_count: float
) -> None:
    solution = robots(p)
    assert solution.value[0, 0, 0] == pytest.approx(value, abs=1e-6)
    assert solution.value[3, 2, 0] == pytest.approx(full_value, abs=1e-12)
    assert solution.mix[3, 2, 0, 1] == pytest.approx(strikes, abs=1e-6)
    assert visits(p)[0][3, 2] == pytest.approx(full_count, abs=1e-10)


def test_robots_reach_a_full_count_as_often_as_was_published() -> None:
    assert visits(BEST_P)[0][3, 2] == pytest.approx(FULL_COUNT, abs=1e-10)
    assert visits(0.25)[0][3, 2] == pytest.approx(0.2945864466, abs=1e-10)
    for near in (BEST_P - 1e-3, BEST_P + 1e-3):
        assert visits(near)[0][3, 2] < FULL_COUNT


def test_robots_end_their_at_bats_as_was_published() -> None:
    ends = visits(BEST_P)[1]
    assert ends["strikeout"] == pytest.approx(0.6817, abs=5e-5)
    assert ends["walk"] == pytest.approx(0.2082, abs=5e-5)
    assert ends["home run"] == pytest.approx(0.1101, abs=5e-5)
    # one public write-up prints them as a batting line, .139 / .318 / .556
    at_bats = 1.0 - ends["walk"]
    assert ends["home run"] / at_bats == pytest.approx(0.139, abs=5e-4)
    assert ends["walk"] + ends["home run"] == pytest.approx(0.318, abs=5e-4)
    assert 4.0 * ends["home run"] / at_bats == pytest.approx(0.556, abs=5e-4)


def test_robots_with_two_strikes_are_worth_one_over_five_less_the_balls() -> None:
    """At p = 1/4 exactly, and 3-1 is worth 9/11 (computed)."""
    value = robots(0.25).value[:, :, 0]
    assert value[:, 2] == pytest.approx([1 / 5, 1 / 4, 1 / 3, 1 / 2], abs=1e-12)
    assert value[3, 1] == pytest.approx(9 / 11, abs=1e-12)


def test_two_strike_fouls_in_closed_form() -> None:
    """At 3-2 calls ball, strike and looks take, swing: v solves v^2 + 8 v - 4 = 0 exactly."""
    outcomes = np.zeros((4, 3, 1, 2, 2, 5))
    outcomes[..., 0, 0, 0] = 1.0  # takes a ball and walks
    outcomes[..., 1, 0, 1] = 1.0  # takes a strike
    outcomes[..., 0, 1, :] = [0.0, 0.5, 0.3, 0.2, 0.0]
    outcomes[..., 1, 1, :] = [0.0, 0.2, 0.4, 0.4, 0.0]
    on_base = np.ones(outcomes.shape[:-1])
    solution = solve_at_bat(outcomes, on_base, [0, 0], 1.0, 0.0, 1.0)
    assert solution.value[3, 2, 0] == pytest.approx(2 * sqrt(5) - 4, abs=1e-10)
    assert solution.mix[3, 2, 0, 0] == pytest.approx(0.4721359550, abs=1e-9)
    assert solution.looks[3, 2, 0] == pytest.approx((0.1982127, 0.8017873), abs=1e-7)


def test_a_loop_of_the_kind_that_shapley_solved() -> None:
    """Shapley (1953): v is the value of the game [[v / 2, 1], [1, 0]], so v = 2 - sqrt 2."""
    outcomes = np.zeros((4, 3, 1, 2, 2, 5))
    outcomes[..., 0, 0, :] = [0.0, 0.5, 0.5, 0.0, 0.0]
    outcomes[..., 0, 1, 3] = outcomes[..., 1, 0, 3] = outcomes[..., 1, 1, 1] = 1.0
    ends = np.ones(outcomes.shape[:-1])
    solution = solve_at_bat(outcomes, ends, [0, 0], 1.0, 0.0, 0.0)
    assert solution.value[3, 2, 0] == pytest.approx(2 - sqrt(2), abs=1e-10)


# The form of TopCoder SRM 253, "Pitches" (statement published; this instance computed): F or C is
# thrown and expected, each pair has its chances of ball and strike, the rest are hits, and the
# pitcher maximises strikeouts. Count, chance of a strikeout, share thrown F, share expected F.
FASTBALL_CURVE = [
    ("0-0", 0.448827, 0.6, 0.837608),
    ("0-1", 0.593030, 0.6, 0.810536),
    ("0-2", 0.773875, 0.6, 0.788928),
    ("1-0", 0.416894, 0.6, 0.911089),
    ("1-1", 0.570214, 0.6, 0.867114),
    ("1-2", 0.763840, 0.6, 0.817600),
    ("2-0", 0.348480, 1.0, 1.0),
    ("2-1", 0.508800, 1.0, 1.0),
    ("2-2", 0.728000, 0.6, 0.92),
    ("3-0", 0.216000, 1.0, 1.0),
    ("3-1", 0.360000, 1.0, 1.0),
    ("3-2", 0.600000, 1.0, 1.0),
]


def test_fastball_or_curve_over_twelve_counts() -> None:
    chances = {(0, 0): (0.2, 0.6), (0, 1): (0.2, 0.7), (1, 0): (0.4, 0.5), (1, 1): (0.4, 0.35)}
    outcomes = np.zeros((4, 3, 1, 2, 2, 5))
    for (thrown, expected), (ball, strike) in chances.items():
        outcomes[..., thrown, expected, :] = [ball, strike, 0.0, 1.0 - ball - strike, 0.0]
    no_runs = np.zeros(outcomes.shape[:-1])
    solution = solve_at_bat(outcomes, no_runs, [0, 0], 0.0, -1.0, 0.0)
    for text, strikeouts, thrown_f, expected_f in FASTBALL_CURVE:
        where = count_of(text)
        assert -solution.value[where] == pytest.approx(strikeouts, abs=1e-6)
        assert solution.mix[where][0] == pytest.approx(thrown_f, abs=1e-6)
        assert solution.looks[where][0] == pytest.approx(expected_f, abs=1e-6)
