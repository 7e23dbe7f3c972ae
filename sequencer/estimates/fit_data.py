"""A pitch log as the arrays that the league is fitted on."""

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from sequencer.baseball import levels
from sequencer.baseball.event_runs import event_value
from sequencer.baseball.pitches import FAMILIES, SWINGS, TYPES
from sequencer.errors import BadInput
from sequencer.estimates.arrays import Bools, Floats, Ints
from sequencer.estimates.contact import measured_runs
from sequencer.estimates.entries import Entries, entries_of
from sequencer.estimates.places import (
    crossed,
    numbers,
    played,
    relative,
    touched,
    words,
    zone_of_rows,
)
from sequencer.estimates.surface import Rows

if TYPE_CHECKING:
    import pandas as pd

NEEDED: Final = ("pitch", "result", "balls", "strikes", "bats")
#: Degrees of launch above which an out is one in the air (common practice: grounders below 10).
AIR_DEGREES: Final = 10.0
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

#: Top and bottom, inches, that stand for a zone that nobody listed (common practice, no source).
UNLISTED: Final = (42.0, 18.0)


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
    at : where in the log each pitch stands, from 0
    left_out : rows of the log that could not be used
    entries : as what each was entered; None where every place was measured
    """

    rows: Rows
    took: Bools
    swung: Bools
    result: "np.ndarray[Any, Any]"
    play: "np.ndarray[Any, Any]"
    runs: Floats
    air: Floats
    whole: Bools
    at: Ints
    left_out: int
    entries: Entries | None = None


def data_of(frame: "pd.DataFrame", level: str = "pro") -> Data:
    """Return the usable pitches of a log; pitch-outs, intentional balls and bunts are left out.

    Places are inches where the log has them, else the middle of the cell; the zone is the level's
    where the log does not say.

    Raises
    ------
    BadInput
        If a column is missing, or no pitch is there or has a place.
    """
    if frame.empty:
        raise BadInput("This log has no pitches under its header: nothing to fit or score.")
    missing = [name for name in NEEDED if name not in frame.columns]
    if missing:
        raise BadInput(f"This log cannot be fitted: it has no column {', '.join(missing)}.")
    usual, bats = levels.level(level).zone, words(frame, "bats")
    edges = zone_of_rows(frame, usual)
    inches = np.isfinite(numbers(frame, "side_in") + numbers(frame, "height_in"))
    against = np.where(inches[:, None], played(edges, usual), touched(edges))
    places = relative(crossed(frame, usual).inches, against, bats)
    counted = frame["balls"].between(0, 3) & frame["strikes"].between(0, 2)
    usable = counted.to_numpy(np.bool_) & np.isfinite(places).all(axis=1) & _plain(frame)
    if not usable.any():
        raise BadInput(
            "No pitch of this log has a place (side_in and height_in, or a cell) and the side its "
            "hitter hit from: the league model needs both."
        )
    data = _arrays(frame[usable], places[usable], usable, play_runs(level))
    entries = entries_of(frame, usual, bats).take(usable)
    return data if entries.measured.all() else replace(data, entries=entries)


def _plain(frame: "pd.DataFrame") -> Bools:
    plain = np.array([word == "" for word in words(frame, "intent")], dtype=np.bool_)
    if "bunt" in frame:
        plain &= ~frame["bunt"].astype("boolean").fillna(False).to_numpy(np.bool_)
    return plain


def _arrays(frame: "pd.DataFrame", places: Floats, usable: Bools, worth: dict[str, float]) -> Data:
    result = np.array(words(frame, "result"), dtype=np.str_)
    play = np.array(words(frame, "play"), dtype=np.str_)
    swung = np.isin(result, list(SWINGS))
    took = np.isin(result, ["ball", "called strike", "hit by pitch"])
    if "swing" in frame:
        told = frame["swing"].tolist()
        swung |= np.array([known is True for known in told])
        took |= np.array([known is False for known in told])
    took &= ~swung
    return Data(
        rows=_rows(frame, places),
        took=took,
        swung=swung,
        result=result,
        play=play,
        runs=_quality(frame, play, worth),
        air=_in_the_air(frame),
        whole=_whole(frame, took, swung),
        at=np.flatnonzero(usable),
        left_out=int((~usable).sum()),
    )


def _in_the_air(frame: "pd.DataFrame") -> Floats:
    """Return one in the air, nought on the ground: by its angle, else by how it was seen to fly."""
    degrees = numbers(frame, "launch_deg")
    flight = np.array(words(frame, "flight"), dtype=np.str_)
    seen = np.where(flight == "", np.nan, np.isin(flight, ["line", "fly", "pop"]).astype(float))
    return np.where(np.isnan(degrees), seen, (degrees >= AIR_DEGREES).astype(float))


def _whole(frame: "pd.DataFrame", took: Bools, swung: Bools) -> Bools:
    """Return False in games that kept takes and no swings."""
    import pandas as pd

    game = pd.Series("", index=frame.index)
    if "game" in frame:
        game = frame["game"].astype(object).fillna("")
    kinds = pd.DataFrame({"game": game.to_numpy(), "took": took, "swung": swung})
    any_kind = kinds.groupby("game", sort=False)[["took", "swung"]].transform("any")
    return np.asarray(any_kind["swung"] | ~any_kind["took"], dtype=np.bool_)


def _rows(frame: "pd.DataFrame", places: Floats) -> Rows:
    order = {family: i for i, family in enumerate((*FAMILIES, "unknown"))}
    kinds = [order[TYPES.get(pitch, "unknown")] for pitch in words(frame, "pitch")]
    hands = zip(words(frame, "throws"), words(frame, "bats"), strict=True)
    same = [float(hand == side) if hand else 0.5 for hand, side in hands]
    return Rows(
        np.array(kinds, dtype=np.intp),
        places[:, 0],
        places[:, 1],
        frame["balls"].to_numpy(np.intp),
        frame["strikes"].to_numpy(np.intp),
        np.array(same),
        np.asarray(frame["bats"] == "L", dtype=np.float64),
        _seasons(frame),
    )


def _seasons(frame: "pd.DataFrame") -> Ints:
    """Return the year of each pitch; of one without a date, a number for how it was kept.

    Logs joined from several hands differ in what they leave out: whether the pitcher's hand is
    told, and whether the zone is any but the usual. Each kind is a season of its own.
    """
    import pandas as pd

    hand = np.array([bool(word) for word in words(frame, "throws")])
    edges = np.column_stack([numbers(frame, "top_in"), numbers(frame, "bottom_in")])
    usual = np.isnan(edges).any(axis=1) | (edges == UNLISTED).all(axis=1)
    kept = 1 + 2 * hand + ~usual
    if "date" not in frame:
        return np.asarray(kept, dtype=np.intp)
    dates = pd.to_datetime(frame["date"], errors="coerce", format="ISO8601")
    return np.asarray(dates.dt.year.fillna(pd.Series(kept, index=frame.index)), dtype=np.intp)


def play_runs(level: str) -> dict[str, float]:
    """Return runs of each play in a level's run environment."""
    here, fitted = levels.level(level).runs_per_game, levels.level("pro").runs_per_game
    return {
        play: runs * event_value(play, here) / event_value(play, fitted)
        for play, runs in PLAY_RUNS.items()
    }


def _quality(
    frame: "pd.DataFrame", play: "np.ndarray[Any, Any]", worth: dict[str, float]
) -> Floats:
    """Return runs of each ball in play by its contact, else by what became of it, else nan."""
    contact, became = measured_runs(frame), np.array([worth.get(word, np.nan) for word in play])
    return np.where(np.isnan(contact), became, contact)
