"""What an event is worth on average, in runs to the hitting side, by run environment."""

from types import MappingProxyType
from typing import Final

from sequencer.errors import BadInput

#: Runs of one side a game, the columns of the table below.
ENVIRONMENTS: Final = (1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0)
SOURCE: Final = (
    "Tango, Custom linear weights from BaseRuns, tangotiger.net, customlwts.html; strikeouts "
    "beyond 6 runs a game go on in a straight line (assumption)"
)
# The last four strikeouts continue the step of the last two published ones (-.060 a run).
CUSTOM: Final = MappingProxyType(
    {
        "single": (0.238, 0.333, 0.398, 0.448, 0.488, 0.522, 0.551, 0.576, 0.599, 0.619),
        "double": (0.407, 0.556, 0.653, 0.725, 0.781, 0.826, 0.864, 0.896, 0.923, 0.947),
        "triple": (0.572, 0.773, 0.901, 0.994, 1.065, 1.121, 1.167, 1.206, 1.238, 1.265),
        "home run": (1.236, 1.310, 1.354, 1.384, 1.406, 1.422, 1.434, 1.443, 1.449, 1.454),
        "walk": (0.144, 0.210, 0.257, 0.295, 0.327, 0.354, 0.378, 0.400, 0.420, 0.438),
        "hit by pitch": (0.159, 0.230, 0.280, 0.320, 0.353, 0.382, 0.407, 0.429, 0.449, 0.468),
        "error": (0.248, 0.346, 0.413, 0.464, 0.506, 0.540, 0.570, 0.595, 0.618, 0.638),
        "strikeout": (
            *(-0.068, -0.132, -0.195, -0.256, -0.316, -0.376),
            *(-0.436, -0.496, -0.556, -0.616),
        ),
    }
)

_BOOK: Final = "Tango, Lichtman, Dolphin (2006), The Book, table 7, Retrosheet 1999-2002"
_RETROSHEET: Final = "mean linear weight, computed here from Retrosheet 2016, 2019, 2020"
#: Runs a game of each source below: nine times its expectancy with nobody on and none out.
_BOOK_RUNS: Final = 9 * 0.555
_RETROSHEET_RUNS: Final = 4.6

#: Other events: value where it was measured, that environment, the event it grows with, source.
#: Growing with a walk (for the hitters) or a strikeout (against them) is an assumption.
_OTHER: Final = MappingProxyType(
    {
        "out": (-0.281, _BOOK_RUNS, "strikeout", _BOOK),
        "fielder's choice": (-0.300, _BOOK_RUNS, "strikeout", _BOOK),
        "double play": (-0.834, _RETROSHEET_RUNS, "strikeout", _RETROSHEET),
        "triple play": (-1.2, _RETROSHEET_RUNS, "strikeout", "assumption"),
        "sacrifice bunt": (-0.195, _RETROSHEET_RUNS, "strikeout", _RETROSHEET),
        "sacrifice fly": (-0.061, _RETROSHEET_RUNS, "strikeout", _RETROSHEET),
        "intentional walk": (0.179, _BOOK_RUNS, "walk", _BOOK),
        "catcher's interference": (0.392, _BOOK_RUNS, "walk", _BOOK),
        "wild pitch": (0.266, _BOOK_RUNS, "walk", _BOOK),
        "passed ball": (0.268, _BOOK_RUNS, "walk", _BOOK),
        "balk": (0.265, _BOOK_RUNS, "walk", _BOOK),
        "steal": (0.178, _BOOK_RUNS, "walk", _BOOK),
        "caught stealing": (-0.572, _BOOK_RUNS, "strikeout", _BOOK),
        "pickoff": (-0.268, _BOOK_RUNS, "strikeout", _BOOK),
    }
)
#: Every event with a value.
EVENT_NAMES: Final = (*CUSTOM, *_OTHER)


def event_value(event: str, runs_per_game: float) -> float:
    """Return the average runs of an event to the hitting side.

    Between whole run environments the published table is read in a straight line; below 1 and
    above 10 runs a game it stays at its end. Outs in play follow strikeouts in the published
    ratio of .281 to .308, so that both are lost together as scoring rises.

    Parameters
    ----------
    event : str
        One of `EVENT_NAMES`.
    runs_per_game : float
        Runs of one side in nine innings.

    Raises
    ------
    BadInput
        If the event has no value, or the environment is not a positive number.
    """
    if not runs_per_game > 0:
        raise BadInput(f"{runs_per_game:g} runs a game cannot be: use a positive number.")
    if event in CUSTOM:
        return _read(CUSTOM[event], runs_per_game)
    if event == "out":
        return event_value("strikeout", runs_per_game) * 0.281 / 0.308
    if event not in _OTHER:
        raise BadInput(f"'{event}' has no run value: use one of {', '.join(EVENT_NAMES)}.")
    value, measured_at, like, _ = _OTHER[event]
    row = CUSTOM[like]
    return value * _read(row, runs_per_game) / _read(row, measured_at)


def event_source(event: str) -> str:
    """Return where an event's value comes from."""
    return SOURCE if event in CUSTOM else _OTHER[event][3]


def _read(row: tuple[float, ...], runs_per_game: float) -> float:
    place = min(max(runs_per_game, ENVIRONMENTS[0]), ENVIRONMENTS[-1]) - ENVIRONMENTS[0]
    below = min(int(place), len(row) - 2)
    return row[below] + (place - below) * (row[below + 1] - row[below])
