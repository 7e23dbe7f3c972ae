"""The invented people of the scenarios and the habits they were given on purpose."""

from dataclasses import dataclass, field
from typing import Final

import numpy as np

from demo_scenarios.season import Arm, Bat
from sequencer.baseball.count import HITTERS_COUNTS
from sequencer.records.replay import State

Mix = dict[str, float]


def _first_pitch_fastball(state: State, bats: str, rng: np.random.Generator) -> Mix:
    """Nearly always the fastball on the first pitch, a real mix afterwards."""
    if state.pitch_no == 1:
        return {"fastball": 0.9, "changeup": 0.06, "curveball": 0.04}
    if state.count.strikes == 2:
        return {"fastball": 0.36, "changeup": 0.32, "curveball": 0.32}
    return {"fastball": 0.46, "changeup": 0.3, "curveball": 0.24}


def _changeup_only_away(state: State, bats: str, pitch: str, rng: np.random.Generator) -> str:
    """Aim the changeup away every time and everything else on both halves."""
    if pitch == "changeup":
        return "away"
    return str(rng.choice(["in", "away"], p=[0.55, 0.45]))


def _fastball_when_behind(state: State, bats: str, rng: np.random.Generator) -> Mix:
    """Show the fastball in nearly every hitter's count, hide it in the others."""
    if state.count in HITTERS_COUNTS:
        return {"fastball": 0.93, "slider": 0.03, "changeup": 0.04}
    return {"fastball": 0.42, "slider": 0.34, "changeup": 0.24}


def _both_halves(state: State, bats: str, pitch: str, rng: np.random.Generator) -> str:
    return str(rng.choice(["in", "away"]))


def _two_pitches(state: State, bats: str, rng: np.random.Generator) -> Mix:
    """Fastball and changeup; never the changeup twice running."""
    last = state.log[-1].pitch.pitch if state.log and state.pitch_no > 1 else ""
    if last == "changeup":
        return {"fastball": 1.0}
    return {"fastball": 0.6, "changeup": 0.4}


@dataclass(frozen=True)
class Opponent:
    """An invented team: its nine, and what our coach marked of them."""

    team: str
    nine: tuple[Bat, ...]
    marks: dict[str, tuple[tuple[str, str], ...]] = field(default_factory=dict)


@dataclass(frozen=True)
class Cast:
    """One scenario: our club, who throws and catches, whom they met, whom they meet tonight."""

    name: str
    seed: int
    us: str
    level: str
    rules: str
    arms: tuple[Arm, ...]
    catchers: tuple[str, str]
    coach: str
    opponents: tuple[Opponent, ...]
    dates: tuple[str, ...]
    tonight: str
    pitches_each: tuple[int, int]
    zone: tuple[float, float]


_ILO: Final = Arm(
    "Ilo Brandt", "R", _first_pitch_fastball, _changeup_only_away, 8.5,
    {"fastball": 78, "changeup": 69, "curveball": 65},
    {"1": "fastball", "2": "curveball", "4": "changeup"},
)  # fmt: skip
_MAREK: Final = Arm(
    "Marek Osei-Lund", "L", _fastball_when_behind, _both_halves, 9.5,
    {"fastball": 75, "changeup": 67, "slider": 68},
    {"1": "fastball", "3": "slider", "4": "changeup"},
)  # fmt: skip
_NIKO: Final = Arm(
    "Niko Farrow", "R", _two_pitches, _both_halves, 11.5,
    {"fastball": 57, "changeup": 50}, {"1": "fastball", "4": "changeup"},
)  # fmt: skip
_JUNE: Final = Arm(
    "June Abara", "L", _two_pitches, _both_halves, 12.0,
    {"fastball": 55, "changeup": 48}, {"1": "fastball", "4": "changeup"},
)  # fmt: skip


def _nine(*bats: Bat) -> tuple[Bat, ...]:
    return bats


_WRENS: Final = Opponent(
    "Osier Bend Wrens",
    _nine(
        Bat("Dario Kemp", "2", "L", swing=0.85, miss=0.8, power=0.8),
        Bat("Pell Anders", "11", "R", miss=0.9),
        Bat("Rafe Ostrow", "24", "R", power=1.7, miss=1.1),
        Bat("Jun Vasari", "8", "L", power=1.2),
        Bat("Théo Quillfeather", "33", "R", swing=1.25, miss=1.3),
        Bat("Sol Wick", "5", "R"),
        Bat("Emre Halloran-Tate", "17", "L", miss=1.2, power=0.7),
        Bat("Bo Lindqvist", "6", "R", swing=0.9, miss=1.3, power=0.5),
        Bat("", "40", "R", swing=1.1, power=0.6),
    ),
    {
        "24": (("extends", "some"), ("punishes the hanger", "once")),
        "33": (("swings at everything", "always"), ("chases low-away", "some")),
        "6": (("late on the fastball", "always"),),
        "2": (("good eye", "some"), ("bunts and slaps", "some"), ("runs", "some")),
        "8": (("pull hitter", "some"),),
    },
)
_MILLS: Final = Opponent(
    "Pikestaff Mills",
    _nine(
        Bat("Cato Brill", "1", "R", swing=0.9),
        Bat("Ike Sundermann", "7", "L"),
        Bat("Ravi Toller", "19", "R", power=1.3),
        Bat("Gus Alderney", "22", "R", power=1.5, miss=1.2),
        Bat("Milo Brandt", "9", "L"),
        Bat("Per Castellan", "14", "R", miss=1.1),
        Bat("Oz Denholm", "3", "R", power=0.7),
        Bat("Lev Ito-Marsh", "28", "L", swing=1.1),
        Bat("Tam Berrow", "4", "R", miss=1.3, power=0.6),
    ),
    {"22": (("sits fastball", "some"),), "4": (("long swing", "some"),)},
)
_OTTERS: Final = Opponent(
    "Grindle Ferry Otters",
    _nine(
        Bat("Abel Rooke", "10", "L", miss=0.8),
        Bat("Finn Okafor-Dale", "12", "R"),
        Bat("Sandor Pyle", "21", "R", power=1.4),
        Bat("Wes Kittering", "30", "L", power=1.1, swing=1.1),
        Bat("Noor Hadley", "16", "R"),
        Bat("Eli Trask", "18", "R", miss=1.2),
        Bat("Joss Merriden", "15", "L", power=0.8),
        Bat("Kit Vane", "23", "R", swing=1.15, miss=1.2),
        Bat("Ada Fenwick", "13", "R", power=0.6),
    ),
)
_KITES: Final = Opponent(
    "Thistle Row Kites",
    _nine(
        Bat("Remy Dunlow", "1", "R"),
        Bat("Tess Aldaine", "4", "L", miss=0.9),
        Bat("Hugo Prandl", "12", "R", power=1.4),
        Bat("Otis Greel", "9", "R", swing=1.2),
        Bat("Mina Corso", "3", "R"),
        Bat("Bram Yates-Olu", "15", "L"),
        Bat("Ned Furlow", "7", "R", miss=1.3),
        Bat("Cleo Santry", "2", "R", power=0.7),
        Bat("Ivo Mead", "10", "L", miss=1.2),
        Bat("Pia Lorne", "5", "R", swing=0.8),
    ),
    {"12": (("pull hitter", "some"),), "7": (("late on the fastball", "always"),)},
)
_PUFFINS: Final = Opponent(
    "Saltgate Puffins",
    _nine(
        Bat("Arlo Vesey", "6", "R"),
        Bat("Dot Hale", "8", "R", miss=1.1),
        Bat("Lio Marchetti-Bow", "14", "L", power=1.3),
        Bat("Kes Warden", "20", "R"),
        Bat("Fay Undern", "11", "R", swing=0.9),
        Bat("Gil Rossen", "16", "R"),
        Bat("Uma Birch", "17", "L", miss=1.2),
        Bat("Zed Collier", "18", "R", power=0.6),
        Bat("Max Orrin", "19", "R", miss=1.3),
    ),
)

CASTS: Final = (
    Cast(
        name="lamplighters",
        seed=20260419,
        us="Tallow Hill Lamplighters",
        level="15-16",
        rules="high-school",
        arms=(_ILO, _MAREK),
        catchers=("Wim Aldous", "Tavi Roe"),
        coach="Coach Pell",
        opponents=(_WRENS, _MILLS, _OTTERS),
        dates=(
            "2026-04-04", "2026-04-11", "2026-04-18", "2026-04-25", "2026-05-02",
            "2026-05-09", "2026-05-16", "2026-05-23", "2026-05-30",
        ),
        tonight="2026-06-06",
        pitches_each=(52, 45),
        zone=(41.0, 18.0),
    ),
    Cast(
        name="kite-field",
        seed=20260509,
        us="Copperlane Sparks",
        level="11-12",
        rules="youth-46",
        arms=(_NIKO, _JUNE),
        catchers=("Sage Dillory", "Theo Marr"),
        coach="Coach Imre",
        opponents=(_KITES, _PUFFINS),
        dates=("2026-05-09", "2026-05-16", "2026-05-23", "2026-05-30"),
        tonight="2026-06-06",
        pitches_each=(48, 36),
        zone=(36.0, 16.0),
    ),
)  # fmt: skip
