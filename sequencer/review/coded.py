"""The pitch log as a review reads it: one side's pitches in order, each column as codes."""

from dataclasses import dataclass, fields, replace
from typing import TYPE_CHECKING, Final, Literal

import numpy as np
from numpy.typing import NDArray

from sequencer.baseball import count, pitches, zone
from sequencer.review import before
from sequencer.review.before import numbers, starts
from sequencer.review.naming import days, keyed, named, numbered_hitter
from sequencer.review.placing import crossed, spelled

if TYPE_CHECKING:
    import pandas as pd

Codes = NDArray[np.int64]
Label = Literal["pitch", "side", "height"]
Whose = Literal["us", "them"]

SIDES: Final = ("in", "middle", "away")
HEIGHTS: Final = ("up", "belt", "down")
COUNT_GROUPS: Final = ("first pitch", *count.COUNT_GROUPS)
#: Share of a pitcher's pitches whose call was charted from which on the call is what is read: his
#: misses say nothing of what was chosen. Common practice, no source.
CALLED_FROM: Final = 0.8
#: Results without a pitch.
_NO_PITCH: Final = ("automatic ball", "automatic strike")
_TYPES: Final = {word: i for i, word in enumerate(pitches.TYPES) if word != "unknown"}
_BATS: Final = {"R": 0, "L": 1}


@dataclass(frozen=True)
class Words:
    """The words behind the codes of names.

    `days` says each game as a coach would: "the game of 18 April". `whose` pitches they are.
    """

    pitches: tuple[str, ...]
    pitchers: tuple[str, ...]
    games: tuple[str, ...]
    catchers: tuple[str, ...]
    callers: tuple[str, ...]
    hitters: tuple[str, ...]
    days: tuple[str, ...]
    whose: Whose = "us"


@dataclass(frozen=True)
class Coded:
    """Pitches of a log in the order thrown; every array has shape (pitches,), -1 is unknown.

    `pitch`, `side` and `height` are what was asked for where that is charted well enough for
    this pitcher (`CALLED_FROM`), else what was thrown and where it crossed. `row` is the
    position in the frame and `order` that in play; `at_bat` is numbered over the whole log, a
    new one for a new pitcher; `previous` is the pitch before in it and `previous_side` its side;
    `time_through` is how often this hitter has faced this pitcher today.

    `score`, `part`, `last_result`, `last_event` and `last_hitter` are places in the tuples of
    `review.before`; `game_pitch` numbers his pitches of the game from 1; `advised` is the type of
    the call that was shown, -1 where none was. What was thrown to be missed counts for these.
    """

    words: Words
    row: Codes
    order: Codes
    pitcher: Codes
    game: Codes
    at_bat: Codes
    pitch: Codes
    side: Codes
    height: Codes
    balls: Codes
    strikes: Codes
    count_group: Codes
    bats: Codes
    previous: Codes
    previous_side: Codes
    bases: Codes
    outs: Codes
    time_through: Codes
    catcher: Codes
    caller: Codes
    hitter: Codes
    score: Codes
    part: Codes
    game_pitch: Codes
    last_result: Codes
    last_event: Codes
    last_hitter: Codes
    advised: Codes
    by_call: NDArray[np.bool_]

    def names(self, row: int) -> tuple[str, str]:
        """Return the pitcher and the hitter of a pitch, "" for one the log does not name."""
        pitcher, hitter = self.pitcher[row], self.hitter[row]
        return (
            self.words.pitchers[pitcher] if pitcher >= 0 else "",
            self.words.hitters[hitter] if hitter >= 0 else "",
        )

    def __len__(self) -> int:
        return len(self.row)

    def only(self, rows: NDArray[np.bool_] | Codes) -> "Coded":
        """Return the pitches of a mask or of positions, in order."""
        arrays = {f.name: getattr(self, f.name)[rows] for f in fields(self) if f.name != "words"}
        return replace(self, **arrays)

    def label(self, label: Label) -> Codes:
        """Return what is to be predicted: the pitch, its side or its height."""
        chosen: Codes = getattr(self, label)
        return chosen


def encode(frame: "pd.DataFrame", whose: Whose = "us") -> Coded:
    """Read a pitch log: our own pitches, pitch-outs and intentional balls left out.

    Parameters
    ----------
    frame : DataFrame
        Columns of the pitch log; those that are absent count as unknown. Not changed.
    whose : {"us", "them"}
        Whose pitches: our own, or those thrown to our hitters.

    Returns
    -------
    Coded
        Ordered by date, game of the day, at-bat and pitch.
    """
    score = before.score(frame, keyed(frame, "game").code, whose)
    own = _own(frame, whose)
    own = own[_order(frame.iloc[own])]
    frame, score = frame.iloc[own], score[own]
    thrown, chosen = _before(frame), spelled(frame, "intent").isin([""])
    if not chosen.all():
        frame, own, score = frame.loc[chosen], own[chosen], score[chosen]
        thrown = {name: column[chosen] for name, column in thrown.items()}
    game, games = keyed(frame, "game").numbered()
    pitcher, pitchers = named(frame, "pitcher")
    hitter, hitters = named(frame, "hitter")
    catcher, catchers = spelled(frame, "catcher").numbered()
    caller, callers = spelled(frame, "caller").numbered()
    at_bat = _numbered(game, numbers(frame, "at_bat"), pitcher)
    asked, said = spelled(frame, "called").placed(_TYPES), spelled(frame, "pitch").placed(_TYPES)
    by_call = _charted(pitcher, asked >= 0)
    pitch = np.where(by_call & (asked >= 0), asked, said)
    side, height = _places(frame, pitcher)
    balls, strikes = numbers(frame, "balls"), numbers(frame, "strikes")
    return Coded(
        words=Words(
            tuple(pitches.TYPES),
            pitchers,
            games,
            catchers,
            callers,
            hitters,
            days(frame, game, len(games)),
            whose,
        ),
        row=own,
        order=np.arange(len(frame), dtype=np.int64),
        pitcher=pitcher,
        game=game,
        at_bat=at_bat,
        pitch=pitch,
        side=side,
        height=height,
        balls=balls,
        strikes=strikes,
        count_group=_count_groups(balls, strikes),
        bats=spelled(frame, "bats").placed(_BATS),
        previous=_previous(pitch, at_bat),
        previous_side=_previous(side, at_bat),
        bases=_bases(frame),
        outs=numbers(frame, "outs"),
        time_through=_times_through(game, pitcher, numbered_hitter(frame).code, at_bat),
        catcher=catcher,
        caller=caller,
        hitter=hitter,
        score=score,
        part=before.part_of_game(frame),
        advised=before.advised(frame),
        by_call=by_call,
        **thrown,
    )


def _before(frame: "pd.DataFrame") -> dict[str, Codes]:
    """Return what hangs on every pitch thrown, pitch-outs too."""
    game, pitcher = keyed(frame, "game").code, keyed(frame, "pitcher").code
    at_bat = _numbered(game, numbers(frame, "at_bat"), pitcher)
    result, event = before.last_pitch(frame, at_bat)
    return {
        "game_pitch": before.pitch_of_game(game, pitcher),
        "last_result": result,
        "last_event": event,
        "last_hitter": before.last_hitter(frame, game, pitcher, at_bat),
    }


def _own(frame: "pd.DataFrame", whose: Whose) -> Codes:
    """Return the rows of one side's pitches, without those never thrown."""
    side = spelled(frame, "pitching").isin(("", "us") if whose == "us" else ("them",))
    return np.flatnonzero(side & ~spelled(frame, "result").isin(_NO_PITCH)).astype(np.int64)


def _order(frame: "pd.DataFrame") -> Codes:
    """Return the order of play; games of one day without a number stay as the log has them."""
    game = spelled(frame, "game_id" if "game_id" in frame.columns else "game")
    pitcher = spelled(frame, "pitcher")
    seen = [words.first_seen()[words.code] for words in (pitcher, game)]
    keys = (numbers(frame, "pitch_no"), seen[0], numbers(frame, "at_bat"), seen[1])
    day = spelled(frame, "date").code
    return np.lexsort((*keys, numbers(frame, "game_no"), day)).astype(np.int64)


def side_of(word: str) -> int:
    """Return the place in SIDES of a cell or target, -1 when it names no side."""
    column = word.split("-", 1)[-1] if "-" in word and not word.startswith("off-") else word
    column = column.removeprefix("off-")
    return SIDES.index(column) if column in SIDES else -1


def height_of(word: str) -> int:
    """Return the place in HEIGHTS of a cell or target, -1 when it names no height."""
    row = {"above": "up", "high": "up", "below": "down", "low": "down", "middle": "belt"}
    first = word.split("-", 1)[0]
    first = row.get(first, first)
    return HEIGHTS.index(first) if first in HEIGHTS else -1


_SIDE: Final = {word: side_of(word) for word in zone.WORDS}
_HEIGHT: Final = {word: height_of(word) for word in zone.WORDS}


def _places(frame: "pd.DataFrame", pitcher: Codes) -> tuple[Codes, Codes]:
    """Return side and height: of the target where a pitcher's are charted, else as it crossed."""
    target = spelled(frame, "target").blank(spelled(frame, "target_when").isin(["after"]))
    cell, by_target = crossed(frame), _charted(pitcher, ~target.isin([""]))
    side = np.where(by_target, target.placed(_SIDE), cell.placed(_SIDE))
    return side, np.where(by_target, target.placed(_HEIGHT), cell.placed(_HEIGHT))


def _charted(pitcher: Codes, said: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return which pitches are of a pitcher for whom enough was charted to go by what was asked."""
    if not len(pitcher):
        return said
    ours = np.maximum(pitcher, 0)
    share = np.bincount(ours, weights=said) / np.maximum(np.bincount(ours), 1)
    return (share >= CALLED_FROM)[ours]


def _count_groups(balls: Codes, strikes: Codes) -> Codes:
    """Return the place in COUNT_GROUPS of each count; 0-0 is the first pitch."""
    table = np.full((5, 4), -1, dtype=np.int64)
    for each in count.COUNTS:
        table[each] = COUNT_GROUPS.index(count.group(each))
    table[0, 0] = 0
    known = (balls >= 0) & (balls <= 3) & (strikes >= 0) & (strikes <= 2)
    return np.where(known, table[np.clip(balls, 0, 4), np.clip(strikes, 0, 3)], -1)


def _numbered(game: Codes, at_bat: Codes, pitcher: Codes) -> Codes:
    """Return the number of each at-bat over the whole log, in order."""
    return np.asarray(np.cumsum(starts(game, at_bat, pitcher)) - 1, dtype=np.int64)


def _previous(column: Codes, at_bat: Codes) -> Codes:
    """Return the code of the pitch before in the same at-bat, -1 for a first pitch."""
    before = np.concatenate(([-1], column[:-1]))
    return np.where(at_bat == np.concatenate(([-1], at_bat[:-1])), before, -1)[: len(column)]


def _bases(frame: "pd.DataFrame") -> Codes:
    """Return occupied bases as bits: first 1, second 2, third 4; -1 where the log never says."""
    codes = np.zeros(len(frame), dtype=np.int64)
    for bit, name in enumerate(("on_first", "on_second", "on_third")):
        codes |= ~spelled(frame, name).isin(_EMPTY) * np.int64(1 << bit)
    return codes if codes.any() else np.full_like(codes, -1)


_EMPTY: Final = ("", "0", "0.0", "False")


def _times_through(game: Codes, pitcher: Codes, hitter: Codes, at_bat: Codes) -> Codes:
    """Return which time this hitter faces this pitcher today, from 1."""
    first = np.flatnonzero(starts(at_bat))
    if not len(first):
        return game
    who = (pitcher[first] + 1) * (int(hitter.max()) + 2) + hitter[first] + 1
    return before.pitch_of_game(game[first], who)[at_bat]
