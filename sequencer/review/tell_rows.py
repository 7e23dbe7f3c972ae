"""The pitches and throws on which a tell was watched, from a log, bullpens and notes."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from sequencer.baseball.tells import named, parse
from sequencer.errors import BadInput
from sequencer.records.readers.tell_notes import TellNote
from sequencer.review.placing import texts

if TYPE_CHECKING:
    import pandas as pd

#: Who noted what stands in the log itself.
LOG: Final = "the log"
_NO_PITCH: Final = ("automatic ball", "automatic strike")
_NO_TYPE: Final = frozenset({"", "unknown"})


@dataclass(frozen=True, slots=True)
class Seen:
    """What one observer has of one pitch: tells seen, those watched for (or seen), measured ones.

    `words` are the tells as they were written.
    """

    seen: frozenset[str]
    watched: frozenset[str]
    values: Mapping[str, float]
    words: tuple[str, ...]

    def __or__(self, other: "Seen") -> "Seen":
        """Return what both have; a number noted twice is the first one's."""
        return Seen(
            self.seen | other.seen,
            self.watched | other.watched,
            {**other.values, **self.values},
            self.words + other.words,
        )


@dataclass(frozen=True, slots=True)
class Watched:
    """One pitch or throw that somebody watched.

    Attributes
    ----------
    pitcher, name : str
        Who threw it: a key that no other has, and his name.
    unit : str
        The game or bullpen it was thrown in.
    pitch : str
        A type; what nobody could name is left out.
    by : dict
        Observer -> what he saw.
    """

    pitcher: str
    name: str
    unit: str
    pitch: str
    by: Mapping[str, Seen]

    def as_of(self, observers: Iterable[str]) -> Seen | None:
        """Return what these observers saw together; None where none of them watched."""
        seen = [self.by[each] for each in observers if each in self.by]
        return sum_of(seen) if seen else None


def sum_of(seen: Sequence[Seen]) -> Seen:
    """Return what several observers have of a pitch, the first one's numbers first."""
    whole = seen[0]
    for each in seen[1:]:
        whole |= each
    return whole


def read_seen(tells: Iterable[str], watched: Iterable[str]) -> Seen:
    """Return noted words under the names they are counted by.

    A tell with a number was measured, neither seen nor not; what is no number is a word.
    """
    words, values, seen = [], {}, set()
    for text in tells:
        word, value = _measured(text)
        words.append(word)
        if value is None:
            seen.add(named(word).name)
        else:
            values[named(word).name] = value
    for text in watched:
        words.append(text.partition("=")[0].strip() or text)
    looked_for = {named(word).name for word in words} - values.keys()
    return Seen(frozenset(seen), frozenset(looked_for | seen), values, tuple(words))


def _measured(text: str) -> tuple[str, float | None]:
    try:
        return parse(text)
    except BadInput:
        return text, None


def split(text: str) -> list[str]:
    """Return the words of a frame's list."""
    return [word for part in text.split(";") if (word := part.strip())]


@dataclass(frozen=True)
class Rows:
    """Everything watched, the notes that fit no pitch of the log, and who took notes."""

    watched: tuple[Watched, ...]
    unplaced: tuple[TellNote, ...] = ()
    observers: tuple[str, ...] = ()


def rows_of(
    frame: "pd.DataFrame",
    pens: "pd.DataFrame | None" = None,
    notes: Sequence[TellNote] | None = None,
) -> Rows:
    """Return what was watched of our own pitchers.

    Parameters
    ----------
    frame : DataFrame
        A pitch log, as of `records.frames`.
    pens : DataFrame, optional
        Bullpens, as of `records.frames.bullpen_frame`.
    notes : sequence of TellNote, optional
        What others saw of the pitches of the log.

    Raises
    ------
    BadInput
        If notes name a game that two games of the log are called, or no pitch of it at all.
    """
    placed, unplaced = _placed(frame, notes or ())
    ids = _ids(frame, pens)
    kept = list(_log_rows(frame, placed, ids))
    if pens is not None:
        kept += _pen_rows(pens, ids)
    observers = tuple(dict.fromkeys(note.observer for note in notes or ()))
    return Rows(tuple(kept), tuple(unplaced), observers)


def _ids(*frames: "pd.DataFrame | None") -> dict[str, str]:
    """Return the key of every name that only one person has."""
    ids: dict[str, set[str]] = {}
    for frame in frames:
        if frame is not None and {"pitcher", "pitcher_id"} <= set(frame.columns):
            people = frame[["pitcher", "pitcher_id"]].drop_duplicates()
            for name, key in zip(
                texts(people, "pitcher"), texts(people, "pitcher_id"), strict=True
            ):
                ids.setdefault(str(name).casefold(), set()).update({str(key)} - {""})
    return {name: next(iter(keys)) for name, keys in ids.items() if len(keys) == 1}


def _log_rows(
    frame: "pd.DataFrame", placed: Mapping[int, Mapping[str, Seen]], ids: Mapping[str, str]
) -> Iterator[Watched]:
    """Yield the pitches of the log that anyone watched; the others are never looked at."""
    noted = np.zeros(len(frame), dtype=np.bool_)
    noted[list(placed)] = True
    rows = np.flatnonzero(noted | _filled(frame))
    kept = frame.iloc[rows]
    own = np.isin(texts(kept, "pitching"), ("", "us")) & (texts(kept, "intent") == "")
    own &= ~np.isin(texts(kept, "result"), _NO_PITCH)
    by = [placed.get(row, {}) for row in rows.tolist()]
    yield from _rows(kept, _units(kept), own, by, ids)


def _filled(frame: "pd.DataFrame") -> NDArray[np.bool_]:
    """Return which rows have a tell, or one that was watched for."""
    filled = np.zeros(len(frame), dtype=np.bool_)
    for column in ("tells", "tells_watched"):
        if column in frame.columns:
            filled |= (frame[column].notna() & (frame[column] != "")).to_numpy(dtype=np.bool_)
    return filled


def _pen_rows(pens: "pd.DataFrame", ids: Mapping[str, str]) -> Iterator[Watched]:
    kept = pens.loc[_filled(pens)]
    keys = [texts(kept, name) for name in ("bullpen_id", "bullpen", "date", "pitcher")]
    units = [
        f"bullpen {key or ' '.join((name, day, who))}"
        for key, name, day, who in zip(*keys, strict=True)
    ]
    own = np.ones(len(kept), dtype=np.bool_)
    yield from _rows(kept, np.array(units, dtype=np.str_), own, [{}] * len(kept), ids)


def _units(frame: "pd.DataFrame") -> NDArray[np.str_]:
    keys = [texts(frame, name) for name in ("game_id", "game", "date", "game_no")]
    words = [key or " ".join(rest).strip() for key, *rest in zip(*keys, strict=True)]
    return np.array(words, dtype=np.str_)


def _rows(
    frame: "pd.DataFrame",
    units: NDArray[np.str_],
    own: NDArray[np.bool_],
    noted: Sequence[Mapping[str, Seen]],
    ids: Mapping[str, str],
) -> Iterator[Watched]:
    name, key, pitch = (texts(frame, word) for word in ("pitcher", "pitcher_id", "pitch"))
    tells, watched = texts(frame, "tells"), texts(frame, "tells_watched")
    for row in np.flatnonzero(own).tolist():
        if pitch[row] in _NO_TYPE:
            continue
        by = dict(noted[row])
        if tells[row] or watched[row]:
            by = {LOG: read_seen(split(tells[row]), split(watched[row])), **by}
        who = str(name[row])
        pitcher = str(key[row]) or ids.get(who.casefold(), who.casefold())
        yield Watched(pitcher, who, str(units[row]), str(pitch[row]), by)


# notes and the pitches they are of


def _placed(
    frame: "pd.DataFrame", notes: Sequence[TellNote]
) -> tuple[dict[int, dict[str, Seen]], list[TellNote]]:
    """Return for every row of the log what observers noted of it, and notes of no row."""
    placed: dict[int, dict[str, Seen]] = {}
    unplaced = []
    rows = _numbered(frame, notes)
    for note in notes:
        row = rows.get((note.game, *_number(note)))
        if row is None:
            unplaced.append(note)
            continue
        seen = read_seen(note.tells, note.tells_watched)
        by = placed.setdefault(row, {})
        by[note.observer] = by[note.observer] | seen if note.observer in by else seen
    if notes and not placed:
        raise BadInput(
            f"no note fits a pitch of this log: the first is of {notes[0].where}; its games are "
            f"{', '.join(sorted(set(texts(frame, 'game').tolist()))[:5]) or 'none'}"
        )
    return placed, unplaced


_Number = tuple[int, int]


def _number(note: TellNote) -> _Number:
    if note.at_bat is not None and note.pitch_no is not None:
        return note.at_bat, note.pitch_no
    return 0, note.order or 0


def _numbered(frame: "pd.DataFrame", notes: Sequence[TellNote]) -> dict[tuple[str, int, int], int]:
    """Return (game as a note calls it, at-bat, pitch or 0, order) -> row of the log."""
    if not notes:
        return {}
    units, game, key = _units(frame), texts(frame, "game"), texts(frame, "game_id")
    at_bat, pitch_no, order = (_whole(frame, name) for name in ("at_bat", "pitch_no", "n"))
    rows: dict[tuple[str, int, int], int] = {}
    for called in dict.fromkeys(note.game for note in notes):
        here = np.flatnonzero((key == called) | (game == called))
        if len(set(units[here].tolist())) > 1:
            raise BadInput(
                f"notes name game {called}, and the log has {len(set(units[here].tolist()))} of "
                "that name; name each by its game_id, as an export has it"
            )
        for row in here.tolist():
            rows[called, int(at_bat[row]), int(pitch_no[row])] = row
            rows[called, 0, int(order[row])] = row
    return rows


def _whole(frame: "pd.DataFrame", column: str) -> NDArray[np.int64]:
    """Return a column of whole numbers, -1 where it has none."""
    if column not in frame.columns:
        return np.full(len(frame), -1, dtype=np.int64)
    import pandas as pd

    numbers = pd.to_numeric(frame[column], errors="coerce").to_numpy(dtype=float, na_value=-1.0)
    return np.where(np.isfinite(numbers), numbers, -1).astype(np.int64)
