"""A pitch log read by column as a data frame, as `frames.pitch_frame` would have its columns."""

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from sequencer.baseball import zone
from sequencer.baseball.hands import BOTH
from sequencer.baseball.pitches import family
from sequencer.records.columns import THROWN_COLUMNS, Value
from sequencer.records.frames import ALWAYS, FRAME_COLUMNS, series
from sequencer.records.people import Person
from sequencer.records.readers.cells import entered_in, text_of
from sequencer.records.readers.coded import Ints
from sequencer.records.readers.columnar import Log, Named
from sequencer.records.readers.roster import Said
from sequencer.records.readers.rows import Read, alike
from sequencer.records.tables import UNNAMED

if TYPE_CHECKING:
    import pandas as pd

_COLUMNS: Final = {column.name: column for column in FRAME_COLUMNS}
_GAME: Final = ("game", "game_no", "date", "us", "them", "home", "level", "rules")
_AS_GIVEN: Final = (
    *("inning", "half", "outs", "score_us", "score_them", "balls", "strikes", "at_bat", "pitch_no"),
)
_PLACES: Final = ("cell", "target")


def log_frame(log: Log) -> "pd.DataFrame":
    """Return a log as a frame: see `frames.read_log`."""
    import pandas as pd

    read = {**_thrown(log), **_who(log), **_of_the_game(log), **log.others}
    read["n"] = Read(_number_in_game(log), range(len(log.rows) + 1))
    for name, of in (("family", "pitch"), ("called_family", "called")):
        families = [family(str(pitch)) if pitch else "" for pitch in read[of].values]
        read[name] = Read(read[of].codes, families)
    frame = {name: _series(name, read[name]) for name in _COLUMNS if name in read}
    return pd.DataFrame(frame)


def _series(name: str, read: Read) -> "pd.Series[Any]":
    """Return a column; a number that some rows lack is nan there, even where a replay knows it."""
    column = _COLUMNS[name]
    if name in ALWAYS and not read.known().all():
        column = _COLUMNS["shakes"]
    return series(column, read.values).take(read.codes).reset_index(drop=True)


def _number_in_game(log: Log) -> Ints:
    begins = np.flatnonzero(np.diff(log.game, prepend=-1))
    sizes = np.diff([*begins, len(log.game)])
    return np.arange(1, len(log.game) + 1) - np.repeat(begins, sizes)


def _of_the_game(log: Log) -> dict[str, Read]:
    """Return what the rows of a game have in common, and who pitches and where they stand."""
    columns = {name: Read(log.game, [getattr(game, name) for game in log.games]) for name in _GAME}
    columns["game_id"] = Read(log.game, [game.id for game in log.games])
    given = log.rows.columns
    columns |= {name: given[name] for name in _AS_GIVEN if name in given}
    said = given.get("pitching", _same(log, ""))
    columns["pitching"] = Read(said.codes, [side or "us" for side in said.values])
    return columns


def _same(log: Log, value: Value) -> Read:
    return Read(np.zeros(len(log.rows), np.int64), [value])


# people


def _who(log: Log) -> dict[str, Read]:
    pitcher, hitter = log.pitcher, log.hitter
    return {
        "pitcher": _of(pitcher, _label),
        "pitcher_id": _of(pitcher, _key),
        "throws": _hands(log),
        "hitter": _of(hitter, _label),
        "hitter_id": _of(hitter, _key),
        "hitter_no": _of(hitter, lambda said, person: person.number if person else ""),
        "team": _of(hitter, lambda said, person: person.team if person else said.team),
        "bats": _sides(log),
    }


def _of(who: Named, told: Callable[[Said, Person | None], str]) -> Read:
    values = [told(said, person) for said, person in zip(who.said, who.people, strict=True)]
    return Read(who.kind, values)


def _label(said: Said, person: Person | None) -> str:
    return person.label if person else said.name or UNNAMED


def _key(said: Said, person: Person | None) -> str:
    return person.id if person else said.id


_WORDS: Final = ("", "R", "L", BOTH)
#: Codes of `_WORDS`: of both, and of the other side.
_BOTH: Final = 3
_OTHER: Final = np.array([0, 2, 1, 0])


def _sides(log: Log) -> Read:
    """Return the side each hitter hit from: as said, as said before in his at-bat, as he is known.

    A switch hitter stands opposite a hand that is known.
    """
    said, known = _said_in_at_bat(log, "bats"), _known(log.hitter, "bats")
    known = np.where(known == _BOTH, _OTHER[_one_hand(log)], known)
    return Read(np.where(said > 0, said, known), _WORDS)


def _hands(log: Log) -> Read:
    """Return the hand each pitch was thrown with: as said, as before in the at-bat, as known.

    Who throws with both takes the side of a hitter whose side does not wait for it.
    """
    hands, bats = _one_hand(log), _known(log.hitter, "bats")
    stands = _said_in_at_bat(log, "bats")
    stands = np.where(stands > 0, stands, np.where(bats == _BOTH, 0, bats))
    both = _known(log.pitcher, "throws") == _BOTH
    return Read(np.where((hands == 0) & both, stands, hands), _WORDS)


def _one_hand(log: Log) -> Ints:
    """Return the hand of every pitch as far as it hangs on no hitter."""
    said, known = _said_in_at_bat(log, "throws"), _known(log.pitcher, "throws")
    return np.where(said > 0, said, np.where(known == _BOTH, 0, known))


def _known(who: Named, name: str) -> Ints:
    """Return the side or hand people are known by, as codes of `_WORDS`."""
    words = [getattr(person, name) if person else "" for person in who.people]
    return _coded(words, _WORDS)[who.kind]


def _said_in_at_bat(log: Log, name: str) -> Ints:
    """Return the side or hand a row says, or one before it in its at-bat; 0 where none does."""
    said = log.rows.columns.get(name, _same(log, ""))
    sides = _coded(said.values, _WORDS)[said.codes]
    who = (log.hitter if name == "bats" else log.pitcher).kind
    at_bat = alike([log.game, log.rows.columns["at_bat"].codes, who], len(sides))[1]
    begins = np.maximum.accumulate(
        np.where(np.diff(at_bat, prepend=-1) != 0, np.arange(len(sides)), 0)
    )
    last = np.maximum.accumulate(np.where(sides > 0, np.arange(len(sides)), -1))
    return np.where(last >= begins, sides[last], 0)


def _coded(values: Sequence[Value], words: Sequence[str]) -> Ints:
    return np.array([words.index(str(value or "")) for value in values], np.int64)


# what was thrown


def _thrown(log: Log) -> dict[str, Read]:
    given = log.rows.columns
    columns = {column.name: given.get(column.name, _same(log, None)) for column in THROWN_COLUMNS}
    imported = columns["imported"]
    columns["imported"] = Read(imported.codes, [value is not False for value in imported.values])
    if "entered" not in given:
        columns["entered"] = _by_words(log, entered_in)
    return columns | _places(log)


def _by_words(log: Log, told: Callable[[Mapping[str, Value]], str]) -> Read:
    """Return what follows from a row's places in words."""
    first, kind = log.rows.alike(_PLACES)
    return Read(kind, [told(log.rows.cells(row)) for row in first.tolist()])


def _places(log: Log) -> dict[str, Read]:
    """Return places in the hitter's words; from a side nobody knows, as the row reader takes it."""
    sides, columns = _sides(log), {}
    switch = np.array([bool(one and one.bats == "S") for one in log.hitter.people], np.bool_)
    for name in _PLACES:
        if name not in log.rows.columns:
            continue
        first, kind = log.rows.alike((name,), sides.codes, switch[log.hitter.kind])
        words = []
        for row in first.tolist():
            cells = log.rows.cells(row)
            side = str(sides.values[sides.codes[row]])
            side = side or ("L" if switch[log.hitter.kind[row]] else "R")
            words.append(_hitters(text_of(cells, name), side, name))
        columns[name] = Read(kind, words)
    return columns


def _hitters(word: str, side: str, name: str) -> str:
    if not word or (name == "target" and word == "unknown"):
        return ""
    return zone.to_hitter(zone.to_catcher(word, side), side)
