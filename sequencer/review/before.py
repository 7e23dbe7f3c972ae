"""What stood before each pitch, as codes: score, inning, the last pitch, the last hitter."""

from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from sequencer.baseball import pitches
from sequencer.baseball.rules import RULES
from sequencer.review.placing import Codes, Spelled, crossed, spelled

if TYPE_CHECKING:
    import pandas as pd

Flags = NDArray[np.bool_]

SCORES: Final = ("far behind", "behind", "tied", "ahead", "far ahead")
#: Runs apart from which on a side is far ahead. Common practice, no source.
FAR: Final = 3
PARTS: Final = ("early", "middle", "late")
#: Early innings; innings of regulation play that are late; and the first late inning of a game
#: whose rules are not known. Common practice, no source.
EARLY_TO: Final = 2
LATE: Final = 2
LATE_FROM: Final = 6
LAST_PITCH: Final = ("ball", "called strike", "swinging strike or foul")
EVENTS: Final = ("anything else", "hard foul", "in the dirt")
LAST_HITTER: Final = ("out", "hit or walk")

_LAST_PITCH: Final = {
    "ball": 0,
    "called strike": 1,
    "swinging strike": 2,
    "foul": 2,
    "foul tip": 2,
}
_THIRD: Final = ("called strike", "swinging strike", "foul tip")
_HITS: Final = ("single", "double", "triple", "home run")
_OUTS: Final = ("out", "double play", "sacrifice bunt", "sacrifice fly")
#: Words of a pitch's note that say the ball got away.
_GOT_AWAY: Final = ("wild pitch", "passed ball", "in the dirt")


def numbers(frame: "pd.DataFrame", column: str) -> Codes:
    """Return a column of whole numbers; -1 where it is empty or absent, (pitches,)."""
    if column not in frame.columns:
        return np.full(len(frame), -1, dtype=np.int64)
    import pandas as pd

    values = pd.to_numeric(frame[column], errors="coerce").to_numpy(dtype=float, na_value=-1.0)
    return np.where(np.isfinite(values), values, -1).astype(np.int64)


def starts(*columns: Codes) -> Flags:
    """Tell which pitches begin something new: one of several columns changes, (pitches,)."""
    new = np.zeros(len(columns[0]), dtype=bool)
    new[:1] = True
    for column in columns:
        new[1:] |= column[1:] != column[:-1]
    return new


def score(frame: "pd.DataFrame", game: Codes, whose: str) -> Codes:
    """Return the place in SCORES as the pitcher's side has it; -1 where it is not known.

    A log of one half of a game has the runs of its pitcher's side only where someone said them:
    they are known where the other half is there too, or where they move in a log kept elsewhere.

    Parameters
    ----------
    frame : DataFrame
        The whole log, both sides' pitches.
    game : ndarray, shape (pitches,)
        Code of each pitch's game.
    whose : {"us", "them"}
        Whose pitches are asked about.
    """
    them = "them" if whose == "us" else "us"
    own, theirs = numbers(frame, f"score_{whose}"), numbers(frame, f"score_{them}")
    sides = spelled(frame, "pitching")
    other = sides.isin([them] if them == "them" else ["us", ""])
    moves = (own > 0) & ~spelled(frame, "imported").isin(["0", "0.0", "False"])
    told = np.bincount(game, weights=other | moves, minlength=1)[game] > 0
    lead = own - theirs
    place = 2 + np.sign(lead) * (1 + (np.abs(lead) >= FAR))
    return np.where(told & (own >= 0) & (theirs >= 0), place, -1)


def part_of_game(frame: "pd.DataFrame") -> Codes:
    """Return the place in PARTS of each pitch's inning, -1 where it is not known, (pitches,)."""
    inning = numbers(frame, "inning")
    rules = spelled(frame, "rules")
    last = [RULES[word].innings - LATE + 1 if word in RULES else LATE_FROM for word in rules.words]
    late = inning >= np.array(last, dtype=np.int64)[rules.code]
    part = np.where(late, 2, (inning > EARLY_TO).astype(np.int64))
    return np.where(inning >= 1, part, -1)


def pitch_of_game(game: Codes, pitcher: Codes) -> Codes:
    """Return which of his pitches of the game each is, from 1, in the order thrown, (pitches,)."""
    if not len(game):
        return game
    outing = game * (int(pitcher.max()) + 2) + pitcher + 1
    order = np.argsort(outing, kind="stable")
    first = np.flatnonzero(starts(outing[order]))
    number = np.empty_like(outing)
    number[order] = 1 + np.arange(len(outing)) - np.repeat(first, np.diff([*first, len(outing)]))
    return number


def last_pitch(frame: "pd.DataFrame", at_bat: Codes) -> tuple[Codes, Codes]:
    """Return what the pitch before in the at-bat came to, and whether it was an event.

    Parameters
    ----------
    frame : DataFrame
        Pitches in the order thrown.
    at_bat : ndarray, shape (pitches,)
        A number of its own for each at-bat.

    Returns
    -------
    result, event : ndarray, shape (pitches,)
        Places in LAST_PITCH and in EVENTS; -1 for a first pitch, or where it is not known.
    """
    result = spelled(frame, "result")
    came_to = result.placed(_LAST_PITCH)
    hard = result.isin(["foul"]) & spelled(frame, "contact").isin(["square"])
    cell = crossed(frame)
    dirt = cell.isin([word for word in cell.words if word.split("-", 1)[0] == "below"])
    away = result.isin(["ball"]) & (dirt | _noted(frame))
    event = np.where(came_to < 0, -1, np.where(hard, 1, np.where(away, 2, 0)))
    first = starts(at_bat)
    return _shifted(came_to, first), _shifted(event, first)


def last_hitter(frame: "pd.DataFrame", game: Codes, pitcher: Codes, at_bat: Codes) -> Codes:
    """Return, for first pitches, what became of the hitter before in the half, (pitches,).

    Returns
    -------
    ndarray
        Place in LAST_HITTER; -1 for later pitches, a new half or pitcher, a hitter who was hit,
        reached on an error or a choice, or was walked without a pitch, and where it is not known.
    """
    inning, number = numbers(frame, "inning"), numbers(frame, "at_bat")
    half, ends = spelled(frame, "half").code, _ends(frame)
    order = np.lexsort((np.arange(len(game)), pitcher, game))
    columns = (game, pitcher, inning, half)
    new = starts(*(column[order] for column in columns))
    new[1:] |= number[order][1:] != number[order][:-1] + 1
    became = np.empty_like(ends)
    became[order] = _shifted(ends[order], new)
    first = starts(at_bat) & (numbers(frame, "pitch_no") == 1) & (inning >= 1)
    return np.where(first, became, -1)


def advised(frame: "pd.DataFrame") -> Codes:
    """Return the place in `pitches.TYPES` of the type of the call shown; -1 where none was.

    Words that name no type stand at "unknown".
    """
    column = spelled(frame, "advice")
    types = list(pitches.TYPES)
    found = [_type_of(word, types) for word in column.words.tolist()]
    return np.array(found, dtype=np.int64)[column.code]


def _type_of(call: str, types: list[str]) -> int:
    if not call:
        return -1
    named = [word for word in types if f"{call} ".startswith(f"{word} ")]
    return types.index(max(named, key=len, default="unknown"))


def _ends(frame: "pd.DataFrame") -> Codes:
    """Return the place in LAST_HITTER of what each pitch did to its hitter, -1 for neither."""
    result, play = spelled(frame, "result"), spelled(frame, "play")
    full, two = numbers(frame, "balls") == 3, numbers(frame, "strikes") == 2
    in_play = result.isin(["in play"])
    bunted = result.isin(["foul"]) & spelled(frame, "bunt").isin(["1", "1.0", "True"])
    struck = two & (result.isin(_THIRD) | bunted)
    struck &= ~spelled(frame, "third_strike").isin(["dropped"])
    out = in_play & play.isin(_OUTS) | struck
    on = in_play & play.isin(_HITS) | result.isin(["ball"]) & full
    return np.where(on, 1, np.where(out, 0, -1))


def _noted(frame: "pd.DataFrame") -> Flags:
    note: Spelled = spelled(frame, "note")
    lower = [word.lower() for word in note.words.tolist()]
    said = [any(words in each for words in _GOT_AWAY) for each in lower]
    return np.array(said, dtype=bool)[note.code]


def _shifted(column: Codes, first: Flags) -> Codes:
    """Return each pitch's value of the pitch before, -1 where there is none."""
    return np.where(first, -1, np.roll(column, 1))
