"""Lines of a game the book holds in part: what is known, what differs, where the rest belongs."""

from bisect import bisect_right
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from typing import Any, Final, NamedTuple

from sequencer.errors import BadInput, CoachError
from sequencer.records.columns import THROWN_COLUMNS
from sequencer.records.event import Event
from sequencer.records.game import Entry
from sequencer.records.pitch import Pitch
from sequencer.records.readers.cells import Cells, number_of, pitch_of, text_of
from sequencer.records.readers.happenings import event_of
from sequencer.records.readers.lines import EventLine, Key, Line, PitchLine, refused
from sequencer.records.readers.streams import Stream, hitter_said, pitcher_said
from sequencer.records.readers.table import BadRow
from sequencer.records.replay import effective, play
from sequencer.records.state import Logged, State
from sequencer.records.store import Book

_COMPARED: Final = tuple(c.name for c in THROWN_COLUMNS if c.name not in {"entered", "imported"})
#: Events that lead up to the pitch after them, rather than follow the one before.
_LEADING: Final = frozenset(
    {"at", "absent", "pitcher", "catcher", "line-up", "substitution", "half ended"}
)


class Held(NamedTuple):
    """A game of the book as it stands: its entries and what they give."""

    entries: tuple[tuple[int, Entry], ...]
    state: State

    @property
    def keys(self) -> list[Key]:
        """At-bat and number of every pitch, in order."""
        return [(logged.before.at_bat, logged.before.pitch_no) for logged in self.state.log]


def held(book: Book, stream: Stream) -> Held:
    """Return what the book holds of a stream's game."""
    entries = effective(book.rows(stream.game.id))
    return Held(entries, play(stream.state, entries))


def sort_known(
    stream: Stream, game: Held, lines: Sequence[Line]
) -> tuple[list[Line], int, list[BadRow]]:
    """Return (lines that are new, how many the book knows, lines that differ from the book)."""
    by_key = dict(zip(game.keys, game.state.log, strict=True))
    events = Counter(_event_keys(game))
    new: list[Line] = []
    bad: list[BadRow] = []
    known = 0
    for line in lines:
        try:
            if _known(stream, game, line, by_key, events):
                known += 1
            else:
                new.append(line)
        except CoachError as error:
            bad.append(refused(line, error))
    return new, known, bad


def _known(
    stream: Stream,
    game: Held,
    line: Line,
    by_key: dict[Key, Logged],
    events: Counter[tuple[int, str]],
) -> bool:
    if isinstance(line, PitchLine):
        logged = by_key.get(line.key)
        if logged is not None:
            _compare(stream, line, logged)
        return logged is not None
    after = bisect_right(game.keys, line.key)
    event = event_of(stream.roster, _state_at(game, after), line.cells)
    key = (after, _bare(event, game.state))
    if not events[key]:
        return False
    events[key] -= 1
    return True


def _state_at(game: Held, after: int) -> State:
    """Return a state whose pitching side is that of the pitch before an event."""
    if not after:
        return game.state
    pitching = game.state.log[after - 1].before.pitching
    if pitching == game.state.pitching:
        return game.state
    return replace(game.state, pitching=pitching)


def _event_keys(game: Held) -> list[tuple[int, str]]:
    return [(h.after_n, _bare(h.event, game.state)) for h in game.state.happened]


def _bare(event: Event, state: State) -> str:
    """Return an event as text, whoever logged it and whatever merged."""
    people = {"who": state.meant(event.who), "for_whom": state.meant(event.for_whom)}
    return event.model_copy(update={**people, "imported": False}).model_dump_json()


def _compare(stream: Stream, line: PitchLine, logged: Logged) -> None:
    """Refuse a line that says another thing of a pitch than the book does; silence agrees."""
    cells = line.cells
    where = f"at-bat {line.key[0]} pitch {line.key[1]} of {stream.game.game}"
    for what, said_of, id_ in (
        ("pitcher", pitcher_said(stream.game, cells), logged.before.pitcher),
        ("hitter", hitter_said(stream.game, cells), logged.before.hitter),
    ):
        if "?" in said_of.id or id_ not in stream.state.people:
            continue
        person = stream.roster.find(said_of)
        if person.id != stream.state.meant(id_):
            held_name = stream.state.label(id_)
            raise BadInput(f"{where} is in the book with {what} {held_name}, not {person.label}")
    differs = _difference(cells, logged)
    if differs:
        name, ours, theirs = differs
        raise BadInput(f"{where} is in the book with {name} '{ours}', not '{theirs}'")


def _difference(cells: Cells, logged: Logged) -> tuple[str, Any, Any] | None:
    for name in ("balls", "strikes"):
        ours = getattr(logged.before, name)
        if number_of(cells, name) != ours:
            return name, ours, cells[name]
    told: Pitch = pitch_of(cells, text_of(cells, "bats") or logged.before.bats)
    for name in _COMPARED:
        if cells.get(name) in (None, ""):
            continue
        ours, theirs = getattr(logged.pitch, name), getattr(told, name)
        if ours != theirs:
            return name, ours, theirs
    return None


def take_new(stream: Stream, game: Held, lines: Sequence[Line]) -> list[BadRow]:
    """Put new lines into a game where they belong; returns the lines that do not fit."""
    bad: list[BadRow] = []
    at: dict[int, list[Line]] = {}
    for line in lines:
        at.setdefault(_place(game, line), []).append(line)
    for place, (seq, entry) in enumerate((*game.entries, (0, None))):
        for line in at.get(place, ()):
            try:
                stream.take(line, seq or None)
            except CoachError as error:
                bad.append(refused(line, error))
        if entry is None:
            break
        try:
            stream.play(seq, entry)
        except CoachError as error:
            stream.placed.clear()
            clash = BadInput(f"does not fit between the pitches the book holds: {error}")
            return [refused(line, clash) for line in lines]
    return bad


def _place(game: Held, line: Line) -> int:
    """Return the index of the entry that a line goes before; the number of entries for the end."""
    n = bisect_right(game.keys, line.key)
    pitches = [i for i, (_, entry) in enumerate(game.entries) if isinstance(entry, Pitch)]
    if n == len(pitches):
        return len(game.entries)
    here = pitches[n]
    if isinstance(line, EventLine) or game.keys[n][0] != line.key[0]:
        first = pitches[n - 1] + 1 if n else 0
        for i in range(first, here):
            entry = game.entries[i][1]
            if isinstance(entry, Event) and entry.event in _LEADING:
                return i
    return here
