"""A pitch log as the arrays that the league is fitted on."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from sequencer.baseball.pitches import FAMILIES, SWINGS, TYPES
from sequencer.baseball.zone import HALF_WIDTH_IN
from sequencer.errors import BadInput
from sequencer.estimates.arrays import Bools, Floats
from sequencer.estimates.surface import Rows

if TYPE_CHECKING:
    import pandas as pd

NEEDED: Final = ("pitch", "result", "balls", "strikes", "bats", "side_in", "height_in")
#: A ball in play's expected batting value is on the scale of on-base average: an average plate
#: appearance is .33 and 1.15 points of it are a run (the usual scale of that statistic).
AVERAGE_VALUE: Final = 0.33
POINTS_A_RUN: Final = 1.15
#: Degrees of launch above which an out is one in the air (common practice: grounders below 10).
AIR_DEGREES: Final = 10.0
#: Zone edges, inches, where the log does not say (published mean of measured zones is near).
TOP_IN: Final = 42.0
BOTTOM_IN: Final = 18.0
#: Runs of a play relative to an average plate appearance: mean linear weights of Retrosheet's 2016,
#: 2019 and 2020 seasons. The information used here was obtained free of charge from and is
#: copyrighted by Retrosheet. Interested parties may contact Retrosheet at www.retrosheet.org.
PLAY_RUNS: Final = {
    "out": -0.257,
    "double play": -0.834,
    "triple play": -1.4,
    "sacrifice bunt": -0.195,
    "sacrifice fly": -0.061,
    "fielder's choice": -0.040,
    "error": 0.471,
    "single": 0.457,
    "double": 0.750,
    "triple": 1.029,
    "home run": 1.374,
}


@dataclass(frozen=True, slots=True)
class Data:
    """A pitch log as arrays, all of shape (n,).

    Attributes
    ----------
    took, swung : known takes and swings (neither where the log does not say)
    result, play : words of the log
    runs : quality of a ball in play, runs; nan where unknown
    air : one when hit in the air, nought on the ground, nan where unknown
    whole : pitches of games whose swings were kept as well as their takes
    left_out : rows of the log that could not be used
    """

    rows: Rows
    took: Bools
    swung: Bools
    result: "np.ndarray[Any, Any]"
    play: "np.ndarray[Any, Any]"
    runs: Floats
    air: Floats
    whole: Bools
    left_out: int


def data_of(frame: "pd.DataFrame") -> Data:
    """Return the usable pitches of a log; pitch-outs, intentional balls and bunts are left out.

    Raises
    ------
    BadInput
        If a column is missing or no pitch has a location in inches.
    """
    missing = [name for name in NEEDED if name not in frame.columns]
    if missing:
        raise BadInput(f"This log cannot be fitted: it has no column {', '.join(missing)}.")
    located = frame[["side_in", "height_in"]].notna().all(axis=1) & frame["bats"].isin(["R", "L"])
    plain = np.ones(len(frame), dtype=bool)
    if "intent" in frame:
        plain &= (frame["intent"].fillna("").astype(str) == "").to_numpy()
    if "bunt" in frame:
        plain &= ~frame["bunt"].fillna(False).astype(bool).to_numpy()
    counted = frame["balls"].between(0, 3) & frame["strikes"].between(0, 2)
    kept = frame[located & counted & plain]
    if kept.empty:
        raise BadInput(
            "No pitch of this log has a place in inches (side_in, height_in) and a hitter's side: "
            "the league model needs both; a cell alone is not enough to fit it."
        )
    return _arrays(kept, len(frame) - len(kept))


def _arrays(frame: "pd.DataFrame", left_out: int) -> Data:
    result = frame["result"].astype(str).to_numpy()
    swung = np.isin(result, list(SWINGS))
    took = np.isin(result, ["ball", "called strike", "hit by pitch"])
    if "swing" in frame:
        told = frame["swing"].to_numpy()
        swung |= np.array([value is True or value is np.True_ for value in told])
        took |= np.array([value is False or value is np.False_ for value in told])
    play = frame["play"].fillna("").astype(str).to_numpy() if "play" in frame else result
    took &= ~swung
    return Data(
        rows=_rows(frame),
        took=took,
        swung=swung,
        result=result,
        play=play,
        runs=_quality(frame, play),
        air=_in_the_air(frame),
        whole=_whole(frame, took, swung),
        left_out=left_out,
    )


def _in_the_air(frame: "pd.DataFrame") -> Floats:
    if "launch_deg" in frame:
        degrees = frame["launch_deg"].to_numpy(float)
        return np.where(np.isnan(degrees), np.nan, (degrees >= AIR_DEGREES).astype(float))
    if "flight" in frame:
        flight = frame["flight"].fillna("").astype(str)
        air = flight.isin(["line", "fly", "pop"]).to_numpy(float)
        return np.where(flight.to_numpy() == "", np.nan, air)
    return np.full(len(frame), np.nan)


def _whole(frame: "pd.DataFrame", took: Bools, swung: Bools) -> Bools:
    """Return False in games that kept takes and no swings."""
    import pandas as pd

    game = frame["game"] if "game" in frame else pd.Series("", index=frame.index)
    kinds = pd.DataFrame({"game": game.to_numpy(), "took": took, "swung": swung})
    any_kind = kinds.groupby("game", sort=False)[["took", "swung"]].transform("any")
    return np.asarray(any_kind["swung"] | ~any_kind["took"], dtype=np.bool_)


def _rows(frame: "pd.DataFrame") -> Rows:
    away = np.where(frame["bats"] == "R", 1.0, -1.0)
    top = frame["top_in"].to_numpy(float) if "top_in" in frame else np.full(len(frame), np.nan)
    low = frame["bottom_in"].to_numpy(float) if "bottom_in" in frame else top
    known = np.isfinite(top) & np.isfinite(low) & (top > low)
    top, low = np.where(known, top, TOP_IN), np.where(known, low, BOTTOM_IN)
    u = away * frame["side_in"].to_numpy(float) / HALF_WIDTH_IN
    v = (frame["height_in"].to_numpy(float) - (top + low) / 2) / ((top - low) / 2)
    order = {family: i for i, family in enumerate(FAMILIES)} | {"unknown": 3}
    family = frame["pitch"].map(lambda pitch: order[TYPES.get(pitch, "unknown")]).to_numpy(np.intp)
    throws = frame["throws"].to_numpy() if "throws" in frame else np.full(len(frame), "")
    same = np.where(throws == frame["bats"].to_numpy(), 1.0, 0.0)
    same = np.where(np.isin(throws, ["R", "L"]), same, 0.5)
    balls, strikes = frame["balls"].to_numpy(np.intp), frame["strikes"].to_numpy(np.intp)
    return Rows(family, u, v, balls, strikes, same)


def _quality(frame: "pd.DataFrame", play: "np.ndarray[Any, Any]") -> Floats:
    """Return runs of each ball in play by its contact, else by what became of it, else nan."""
    worth = np.array([PLAY_RUNS.get(word, np.nan) for word in play])
    if "contact_value" not in frame:
        return worth
    value = frame["contact_value"].to_numpy(float)
    return np.asarray((value - AVERAGE_VALUE) / POINTS_A_RUN)
