"""The call or the miss? What cost the at-bats that cost runs: hits, walks, hit batters, errors.

A walk adds up its balls; any other end is told by the pitch it came on.
"""

from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from sequencer.review.came_to import AFTER_BALL, STATES
from sequencer.review.coded import Coded
from sequencer.review.ledger import PARTS, Ledger
from sequencer.review.placing import cells, texts

if TYPE_CHECKING:
    import pandas as pd

Codes = NDArray[np.int64]
Floats = NDArray[np.float64]

HITS: Final = ("single", "double", "triple", "home run")
#: Ends that are told whatever they cost.
ALWAYS: Final = ("walk", "hit by pitch", *HITS)
#: Runs below which a part has not cost anything that is worth a word: half of what is printed.
WORTH_SAYING: Final = 0.005
#: What is ours or the umpire's, not what the hitter made of it.
OURS: Final = ("call", "execution", "call_and_execution", "umpire")
_WHO: Final = ("game", "inning", "half", "pitcher", "hitter", "hitter_no")
_PITCH: Final = ("pitch", "called", "target")


@dataclass(frozen=True)
class TurningPoint:
    """An at-bat that cost runs, and what of it cost most.

    Attributes
    ----------
    game, inning, half, pitcher, hitter, hitter_no : str
        As the log has them, "" where it does not say.
    event : str
        How it ended.
    count : str
        Before the pitch it ended on.
    runs : float
        Of the at-bat, as far as the log says.
    pitches : int
        Told here: the balls of a walk, else the one it ended on.
    pitch, called, target, cell : str
        Of the last of them: what was thrown and asked for, where, and where it went; a target that
        was set before the result only.
    parts : dict
        Name of a part of the ledger -> its runs over these pitches, None where it is not known.
    cost_most : str
        The part that cost most of what is ours or the umpire's; "outcome" where none cost anything.
    """

    game: str
    inning: str
    half: str
    pitcher: str
    hitter: str
    hitter_no: str
    event: str
    count: str
    runs: float
    pitches: int
    pitch: str
    called: str
    target: str
    cell: str
    parts: dict[str, float | None]
    cost_most: str

    def as_json(self) -> dict[str, object]:
        """Return plain values."""
        return asdict(self)


def turning_points(ledger: Ledger, frame: "pd.DataFrame", log: Coded) -> list[TurningPoint]:
    """Return every at-bat that ended in a hit, a walk or a hit batter, or cost runs otherwise.

    Parameters
    ----------
    ledger : Ledger
        Of this log.
    frame : DataFrame
        The log `log` was coded from.
    log : Coded

    Returns
    -------
    list of TurningPoint
        In the order of play.
    """
    came, count = ledger.came, 3 * log.balls + log.strikes
    last = np.flatnonzero(np.diff(log.at_bat, append=-1) != 0)
    cost = np.bincount(log.at_bat, np.nan_to_num(ledger.runs), int(log.at_bat.max(initial=-1)) + 1)
    ended = last[came[last] >= STATES.index("walk")]
    told = [STATES.index(end) for end in ALWAYS]
    ended = ended[np.isin(came[ended], told) | (cost[log.at_bat[ended]] > 0)]
    walked = came[ended] == STATES.index("walk")
    which, pitches = _told(log, ended, walked, came == AFTER_BALL[np.clip(count, 0, 11)])
    thrown = np.bincount(which, minlength=len(ended))
    words = _words(frame.iloc[log.row[ended]])
    parts = {part: _sums(ledger.parts[part][pitches], which, len(ended)) for part in PARTS}
    found = []
    for i, row in enumerate(ended.tolist()):
        of = {part: sums[i] for part, sums in parts.items()}
        found.append(
            TurningPoint(
                **{name: column[i] for name, column in words.items()},
                event=STATES[came[row]],
                count=f"{log.balls[row]}-{log.strikes[row]}",
                runs=float(cost[log.at_bat[row]]),
                pitches=int(thrown[i]),
                parts=of,
                cost_most=_most(of),
            )
        )
    return found


def _told(
    log: Coded, ended: Codes, walked: NDArray[np.bool_], ball: NDArray[np.bool_]
) -> tuple[Codes, Codes]:
    """Return the at-bat, as a place in `ended`, and the position of every pitch that is told."""
    place = np.full(int(log.at_bat.max(initial=-1)) + 1, -1)
    place[log.at_bat[ended]] = np.arange(len(ended))
    which = place[log.at_bat]
    last = np.zeros(len(log), dtype=np.bool_)
    last[ended] = True
    told = (which >= 0) & (last | (ball & np.append(walked, False)[which]))
    return which[told], np.flatnonzero(told)


def _sums(runs: Floats, which: Codes, size: int) -> list[float | None]:
    """Return the sum of a part over the pitches told of each at-bat, None where not known."""
    known = ~np.isnan(runs)
    total = np.bincount(which[known], runs[known], size).tolist()
    some = np.bincount(which[known], minlength=size).tolist()
    return [runs if n else None for runs, n in zip(total, some, strict=True)]


def _words(rows: "pd.DataFrame") -> dict[str, list[str]]:
    """Return the words of some pitches by column; numbers as whole ones."""
    found = {name: texts(rows, name).tolist() for name in (*_WHO, *_PITCH)}
    late = texts(rows, "target_when") == "after"
    found["target"] = np.where(late, "", found["target"]).tolist()
    found["cell"] = cells(rows).tolist()
    for name in ("inning", "hitter_no"):
        found[name] = [word.removesuffix(".0") for word in found[name]]
    return found


def _most(parts: dict[str, float | None]) -> str:
    """Return which part that is not the hitter's cost most; the outcome where none did."""
    cost = {part: parts[part] or 0.0 for part in OURS}
    most = max(OURS, key=lambda part: cost[part])
    return most if cost[most] >= WORTH_SAYING else "outcome"
