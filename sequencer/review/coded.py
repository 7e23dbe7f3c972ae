"""The pitch log as a review reads it: own pitches in order, each column a small array of codes."""

from collections.abc import Iterable
from dataclasses import dataclass, fields, replace
from typing import TYPE_CHECKING, Final, Literal

import numpy as np
from numpy.typing import NDArray

from sequencer.baseball import count, pitches, zone
from sequencer.review.placing import cells, texts

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


@dataclass(frozen=True)
class Words:
    """The words behind the codes of names."""

    pitches: tuple[str, ...]
    pitchers: tuple[str, ...]
    games: tuple[str, ...]
    catchers: tuple[str, ...]
    callers: tuple[str, ...]
    hitters: tuple[str, ...]


@dataclass(frozen=True)
class Coded:
    """Pitches of a log in the order thrown; every array has shape (pitches,), -1 is unknown.

    `pitch`, `side` and `height` are what was asked for where that is charted well enough for
    this pitcher (`CALLED_FROM`), else what was thrown and where it crossed. `row` is the
    position in the frame and `order` that in play; `at_bat` is numbered over the whole log, a
    new one for a new pitcher; `previous` is the pitch before in it and
    `previous_side` its side; `time_through` is how often
    this hitter has faced this pitcher today.
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
    frame = _own(frame, whose)
    frame = frame.iloc[_order(frame)]
    text = {name: texts(frame, name) for name in _TEXTS}
    text["cell"] = cells(frame)
    game, games = _codes(_keyed(text, "game"))
    pitcher, pitchers = _named(text, "pitcher")
    hitter, hitters = _named(text, "hitter")
    hitter_key, _ = _codes(_with_number(text))
    catcher, catchers = _codes(text["catcher"])
    caller, callers = _codes(text["caller"])
    at_bat = _numbered(game, _number(frame, "at_bat"), pitcher)
    types = tuple(pitches.TYPES)
    thrown, called = _lookup(text["pitch"], types), _lookup(text["called"], types)
    target = np.where(text["target_when"] == "after", "", text["target"])
    by_call = _charted(pitcher, called >= 0)
    pitch = np.where(by_call & (called >= 0), called, thrown)
    by_target = _charted(pitcher, target != "")
    places = np.where(by_target, target, text["cell"])
    side, height = _placed(places, _SIDE), _placed(places, _HEIGHT)
    balls, strikes = _number(frame, "balls"), _number(frame, "strikes")
    return Coded(
        words=Words(types, pitchers, games, catchers, callers, hitters),
        row=frame["_row"].to_numpy(dtype=np.int64),
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
        bats=_lookup(text["bats"], ("R", "L")),
        previous=_previous(pitch, at_bat),
        previous_side=_previous(side, at_bat),
        bases=_bases(text),
        outs=_number(frame, "outs"),
        time_through=_times_through(game, pitcher, hitter_key, at_bat),
        catcher=catcher,
        caller=caller,
        hitter=hitter,
        by_call=by_call,
    )


_TEXTS: Final = (
    *("game", "game_id", "date", "game_no", "pitcher", "pitcher_id", "hitter", "hitter_id"),
    *("hitter_no", "team", "catcher", "caller", "bats", "pitch", "called", "target"),
    *("target_when", "on_first", "on_second", "on_third"),
)


def _own(frame: "pd.DataFrame", whose: Whose) -> "pd.DataFrame":
    """Keep one side's pitches, without those thrown to be missed and those never thrown."""
    keep = np.ones(len(frame), dtype=bool)
    side = ("", "us") if whose == "us" else ("them",)
    for column, words in (("pitching", side), ("intent", ("",))):
        keep &= np.isin(texts(frame, column), words)
    keep &= ~np.isin(texts(frame, "result"), _NO_PITCH)
    return frame.assign(_row=np.arange(len(frame))).loc[keep]


def _number(frame: "pd.DataFrame", column: str) -> Codes:
    """Return a column of whole numbers; -1 where it is empty or absent."""
    if column not in frame.columns:
        return np.full(len(frame), -1, dtype=np.int64)
    import pandas as pd

    values = pd.to_numeric(frame[column], errors="coerce").to_numpy(dtype=float, na_value=-1.0)
    return np.where(np.isfinite(values), values, -1).astype(np.int64)


def _order(frame: "pd.DataFrame") -> Codes:
    """Return the order of play; games of one day without a number stay as the log has them."""
    day = np.unique(texts(frame, "date"), return_inverse=True)[1]
    game = _first_seen(texts(frame, "game_id" if "game_id" in frame.columns else "game"))
    pitcher = _first_seen(texts(frame, "pitcher"))
    keys = (_number(frame, "pitch_no"), pitcher, _number(frame, "at_bat"), game)
    return np.lexsort((*keys, _number(frame, "game_no"), day)).astype(np.int64)


def _first_seen(words: NDArray[np.str_]) -> Codes:
    """Return for each word the position of its first appearance."""
    _, first, which = np.unique(words, return_index=True, return_inverse=True)
    return first[which].astype(np.int64)


def _keyed(text: dict[str, NDArray[np.str_]], what: str) -> NDArray[np.str_]:
    """Return the book's own key where there is one, else the name (and day, for a game)."""
    name = text[what]
    if what == "game":
        for part in ("date", "game_no"):
            name = np.char.add(np.char.add(name, "\n"), text[part])
    return np.where(text[f"{what}_id"] != "", text[f"{what}_id"], name)


def _with_number(text: dict[str, NDArray[np.str_]]) -> NDArray[np.str_]:
    """Return a key of the hitter: two of one name differ by number or team."""
    name = _keyed(text, "hitter")
    for part in ("hitter_no", "team"):
        name = np.char.add(np.char.add(name, "\n"), text[part])
    return name


def _codes(words: NDArray[np.str_]) -> tuple[Codes, tuple[str, ...]]:
    """Return a number for each word, in the order they first appear; "" is -1."""
    known, first, code = np.unique(words, return_index=True, return_inverse=True)
    order = np.argsort(first)
    order = order[known[order] != ""]
    rank = np.full(len(known), -1, dtype=np.int64)
    rank[order] = np.arange(len(order))
    return rank[code], tuple(str(word) for word in known[order])


def _named(text: dict[str, NDArray[np.str_]], what: str) -> tuple[Codes, tuple[str, ...]]:
    """Return numbers by key, and a name for each; two people of one name stay two."""
    code, keys = _codes(_keyed(text, what))
    names = dict(zip(code.tolist(), text[what].tolist(), strict=True))
    return code, tuple(names.get(i) or key for i, key in enumerate(keys))


def _lookup(words: NDArray[np.str_], known: Iterable[str]) -> Codes:
    """Return each word's place in `known`, -1 when it is not there or says "unknown"."""
    place = {word: i for i, word in enumerate(known) if word != "unknown"}
    unique, code = np.unique(words, return_inverse=True)
    return np.array([place.get(str(word), -1) for word in unique], dtype=np.int64)[code]


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


def _placed(words: NDArray[np.str_], place: dict[str, int]) -> Codes:
    unique, code = np.unique(words, return_inverse=True)
    return np.array([place.get(str(word), -1) for word in unique], dtype=np.int64)[code]


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
    if not len(game):
        return game
    columns = np.stack([game, at_bat, pitcher])
    new = (np.diff(columns, axis=1, prepend=-2) != 0).any(axis=0)
    return np.asarray(np.cumsum(new) - 1, dtype=np.int64)


def _previous(column: Codes, at_bat: Codes) -> Codes:
    """Return the code of the pitch before in the same at-bat, -1 for a first pitch."""
    before = np.concatenate(([-1], column[:-1]))
    return np.where(at_bat == np.concatenate(([-1], at_bat[:-1])), before, -1)[: len(column)]


def _bases(text: dict[str, NDArray[np.str_]]) -> Codes:
    """Return occupied bases as bits: first 1, second 2, third 4; -1 where the log never says."""
    bases = [text[name] for name in ("on_first", "on_second", "on_third")]
    bits = sum(2**i * ~np.isin(base, ("", "0", "0.0")) for i, base in enumerate(bases))
    codes = np.asarray(bits, dtype=np.int64)
    return codes if codes.any() else np.full_like(codes, -1)


def _times_through(game: Codes, pitcher: Codes, hitter: Codes, at_bat: Codes) -> Codes:
    """Return which time this hitter faces this pitcher today, from 1."""
    if not len(game):
        return game
    _, first = np.unique(at_bat, return_index=True)
    meeting = np.stack([game, pitcher, hitter], axis=1)[first]
    _, pair = np.unique(meeting, axis=0, return_inverse=True)
    order = np.argsort(pair.ravel(), kind="stable")
    ordered = pair.ravel()[order]
    start = np.searchsorted(ordered, ordered)
    times = np.empty(len(first), dtype=np.int64)
    times[order] = np.arange(len(first)) - start + 1
    return times[at_bat]
