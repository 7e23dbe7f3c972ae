"""One game being logged: each entry is checked, then on disk, and only then shown."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

from sequencer.errors import IllegalEntry
from sequencer.live.amending import Act, amendments
from sequencer.records.effective import Placed, effective, standing
from sequencer.records.event import Event
from sequencer.records.game import Entry, Game, Row
from sequencer.records.people import Person
from sequencer.records.pitch import Pitch
from sequencer.records.replay import replay, start, step
from sequencer.records.state import Happened, Logged, State, unnamed
from sequencer.records.store import Book, RowsMoved

#: Times an entry is tried again when other sessions keep writing in between (assumption).
_TRIES: Final = 20


class Session:
    """The one way to log a game.

    `state` is the game as it stands on disk; `notice` says when another session's entries were
    read in, "" otherwise. Every call either commits and moves the state, or raises and changes
    nothing.
    """

    def __init__(self, book: Book, game: Game) -> None:
        self.book = book
        self.game = game
        self.notice = ""
        self.state = self._load()

    def _load(self) -> State:
        self.people: Mapping[str, Person] = self.book.everyone()
        self._rows = self.book.rows(self.game.id)
        self._entries = effective(self._rows)
        return replay(self.game, self.people, self._rows)

    @property
    def last_seq(self) -> int:
        """The last row this session knows of."""
        return self._rows[-1].seq if self._rows else 0

    def refresh(self) -> State:
        """Read in what others wrote to the book: rows, people, the game's header."""
        before = self.last_seq
        self.game = self.book.find_game(self.game.id) or self.game
        self.state = self._load()
        self.notice = "Another session has logged meanwhile." if self.last_seq != before else ""
        return self.state

    # entries

    def add(self, *entries: Entry, new: Iterable[Person] = ()) -> State:
        """Log one more pitch or event, together with people it names who are new to the book.

        Several entries are one act: all are kept or none, and one undo takes them all. When
        another session has logged meanwhile its entries are read in first and `notice` says so.

        Raises
        ------
        IllegalEntry
            If it cannot have happened; nothing is written.
        BookError
            If it cannot be written; nothing is.
        """
        self.notice = ""
        new = tuple(new)
        for _ in range(_TRIES):
            people = {**self.people, **{person.id: person for person in new}}
            state = replace(self.state, people=people) if new else self.state
            for seq, entry in enumerate(entries, self.last_seq + 1):
                state = step(state, seq, entry)
            try:
                return self._keep([Act("add", entry) for entry in entries], new, state)
            except RowsMoved:
                self.refresh()
        raise IllegalEntry("Other sessions keep logging to this game: try again.")

    def insert(self, n: int, *entries: Entry, new: Iterable[Person] = ()) -> State:
        """Log entries missed in the rush: a pitch becomes the game's n-th, events precede it.

        Raises
        ------
        IllegalEntry
            If there is no pitch n, or an entry after it could no longer have happened.
        """
        if n == len(self.state.log) + 1:
            return self.add(*entries, new=new)
        target = self.pitch(n).seq
        return self._rewrite([Act("insert", entry, target=target) for entry in entries], new)

    def correct(self, n: int, changes: Mapping[str, Any], *, new: Iterable[Person] = ()) -> State:
        """Correct the game's n-th pitch; one undo takes the whole correction back.

        Parameters
        ----------
        changes : mapping
            Fields of `Pitch` -> values, and who: `hitter` (a person's id) and `bats`, which hold
            for his whole at-bat; `pitcher` and `catcher`, which hold from this pitch to the next
            change. A target corrected after the result counts as entered after it.

        Raises
        ------
        IllegalEntry
            If there is no pitch n, or an entry could no longer have happened.
        """
        return self._rewrite(amendments(self.state, self.pitch(n), changes), new)

    def remove(self, n: int, event: str = "", nth: int = 0) -> State:
        """Take out the game's n-th pitch, or an event of a kind that followed it.

        Parameters
        ----------
        nth : int
            Which of several of that kind after the pitch, from 1; 0 is the last.

        Raises
        ------
        IllegalEntry
            If there is none, or an entry after it could no longer have happened.
        """
        target = self._event(n, event, nth).seq if event else self.pitch(n).seq
        return self._rewrite([Act("remove", target=target)])

    def replace(
        self, n: int, event: str, now: Event, *, nth: int = 0, new: Iterable[Person] = ()
    ) -> State:
        """Put another event in the place of one that followed the game's n-th pitch.

        Raises
        ------
        IllegalEntry
            If there is none, or it or an entry after it could not have happened.
        """
        was = self._event(n, event, nth)
        return self._rewrite([Act("correct", target=was.seq, changes=now.model_dump())], new)

    def _event(self, n: int, event: str, nth: int) -> Happened:
        found = [h for h in self.state.happened if h.after_n == n and h.event.event == event]
        if not found[nth - 1 : nth or None]:
            which = f" {nth}" if nth and found else ""
            raise IllegalEntry(f"There is no {event}{which} after pitch {n}.")
        return found[nth - 1]

    def undo(self) -> State:
        """Take back the last entry, correction or insertion that stands."""
        return self._rewrite([Act("undo")])

    def redo(self) -> State:
        """Bring back the last one taken back."""
        return self._rewrite([Act("redo")])

    def pitch(self, n: int) -> Logged:
        """Return the game's n-th pitch.

        Raises
        ------
        IllegalEntry
            If there is none.
        """
        kept = len(self.state.log)
        if not 1 <= n <= kept:
            there = f"pitches 1 to {kept}" if kept else "no pitches yet"
            raise IllegalEntry(f"There is no pitch {n} in this game; there are {there}.")
        return self.state.log[n - 1]

    # keeping

    def _played(self, people: Mapping[str, Person], rows: Sequence[Row], ours: set[int]) -> State:
        """Return the game after rewriting, where nothing may fit worse than it did before."""
        try:
            return _play(start(self.game, people), effective(rows), ours)
        except IllegalEntry as error:
            state = replay(self.game, people, rows)
            if not self.state.problems:
                raise
            worse = [said for said in state.problems if said not in self.state.problems]
            if worse:
                raise IllegalEntry(worse[0]) from error
            return state

    def _rewrite(self, acts: Sequence[Act], new: Iterable[Person] = ()) -> State:
        """Keep acts that change what was logged before: the whole game must still be possible."""
        self.notice = ""
        new = tuple(new)
        written = [act.row(self.last_seq + i, joined=i > 1) for i, act in enumerate(acts, 1)]
        rows = [*self._rows, *written]
        if standing(rows)[0] == standing(self._rows)[0]:
            raise IllegalEntry(f"There is nothing to {acts[0].action}.")
        people = {**self.people, **{person.id: person for person in new}}
        # An event put in another's place keeps that one's row.
        ours = {row.seq for row in written} | {
            row.target for row in written if "event" in row.changes and row.target is not None
        }
        state = self._played(people, rows, ours)
        try:
            return self._keep(acts, new, state)
        except RowsMoved as error:
            self.refresh()
            raise IllegalEntry(
                "Another session has logged to this game meanwhile and its entries were read in: "
                "look at the state, then say that again."
            ) from error

    def _keep(self, acts: Sequence[Act], new: Sequence[Person], state: State) -> State:
        """Commit the acts and the people they need, then move to `state`."""
        made = (*new, *_unnamed(state, new))
        last = self.last_seq
        rows: list[Row] = []
        with self.book.transaction():
            for act in acts:
                row = self.book.append(
                    self.game.id,
                    act.action,
                    entry=act.entry,
                    target=act.target,
                    changes=act.changes,
                    after_seq=last + len(rows),
                    joined=bool(rows),
                )
                rows.append(row)
            sides = _sides_learnt(self.people, rows)
            for id_, bats in sides.items():
                self.book.change_person(id_, bats=bats)
            # After the rows: a session that lost the race is turned away before it makes people.
            for person in made:
                self.book.add_person(person)
        if made or sides:
            learnt = {
                id_: self.people[id_].model_copy(update={"bats": bats})
                for id_, bats in sides.items()
            }
            added = {person.id: person for person in made}
            self.people = {**self.people, **learnt, **added}
            state = replace(state, people=self.people)
        self._rows += rows
        self._entries = _folded(self._entries, rows, self._rows)
        # What the book has just learnt of a hitter's side, no entry needs to say any more.
        self.state = replay(self.game, self.people, self._rows) if sides else state
        return self.state


def _sides_learnt(people: Mapping[str, Person], rows: Iterable[Row]) -> dict[str, str]:
    """Return the sides said at the plate of hitters whose side the book does not know yet."""
    said = [row.event for row in rows if row.event is not None and row.event.event == "at"]
    return {
        event.who: event.bats
        for event in said
        if event.bats and event.who in people and not people[event.who].bats
    }


def _folded(
    entries: tuple[Placed, ...], rows: Sequence[Row], every: Sequence[Row]
) -> tuple[Placed, ...]:
    if all(row.action == "add" for row in rows):
        return (*entries, *((row.seq, row.entry) for row in rows))
    return effective(every)


def _play(state: State, entries: Iterable[Placed], ours: Iterable[int] = ()) -> State:
    """Return the state after the entries; an impossible one that is not `ours` is named."""
    for seq, entry in entries:
        try:
            state = step(state, seq, entry)
        except IllegalEntry as error:
            if seq in ours:
                raise
            raise IllegalEntry(
                f"Then a later entry could not have happened, {_named(state, entry)}: {error}"
            ) from error
    return state


def _named(state: State, entry: Entry) -> str:
    n = len(state.log)
    if isinstance(entry, Pitch):
        return f"pitch {n + 1} ({entry.result})"
    return f"the {entry.event} after pitch {n}"


def _unnamed(state: State, new: Sequence[Person]) -> list[Person]:
    """Return the stand-ins for people nobody named that are not yet people of the book."""
    known = {*state.people, *(person.id for person in new)}
    teams = {"us": state.game.us, "them": state.game.them}
    return [
        Person(id=id_, team=teams[side], number=number)
        for id_, (side, number) in unnamed(state).items()
        if id_ not in known
    ]
