"""One player under two entries of the book: made one, and made two again."""

from collections.abc import Mapping
from dataclasses import dataclass

from sequencer.errors import NotInBook
from sequencer.records.people import Person
from sequencer.records.replay import replay
from sequencer.records.store import Book


@dataclass(frozen=True, slots=True)
class Joined:
    """What was done: the person now, and a sentence."""

    person: Person
    says: str


def make_one(book: Book, keep: str, gone: str) -> Joined:
    """Say that `gone` is `keep`: pitches, marks and games of both are one person's from now on.

    What only `gone` was known by (number, side, hand) fills what is not known of `keep`.

    Raises
    ------
    BookError
        If they are one already, or the book cannot be written.
    NotInBook
        If an id is nobody's.
    """
    kept, lost = book.person(keep), book.person(gone)
    both = _both_in(book, kept.id, lost.id)
    book.merge_people(kept.id, lost.id)
    now = book.person(kept.id)
    two = f"{full(lost)} and {full(kept)} are one player from now on"
    says = f"{two}: {full(now)}, with all pitches and marks of both."
    if both:
        says += f" Both are in the order of {both}: if they are two players, take it back."
    return Joined(now, says)


def make_two(book: Book, who: str) -> Joined:
    """Take back the last time that someone was said to be this person.

    Raises
    ------
    NotInBook
        If nobody was.
    """
    kept = book.person(who)
    mine = [(n, gone) for n, into, gone in book.merges() if into == kept.id]
    if not mine:
        raise NotInBook(f"{full(kept)} was never made one with anybody: there is nothing to undo.")
    number, gone = mine[-1]
    book.undo_merge(number)
    now = book.person(kept.id)
    return Joined(now, f"{full(now)} and {full(book.person(gone))} are two players again.")


def full(person: Person) -> str:
    """Return a person as a sentence names him: `Rafe Ostrow #7`."""
    number = f" #{person.number}" if person.name and person.number else ""
    return f"{person.label}{number}"


def _both_in(book: Book, one: str, other: str) -> str:
    """Return a game in whose batting order both stand, the latest; "" for none."""
    people: Mapping[str, Person] = book.everyone()
    for game in reversed(book.games()):
        rows = book.rows(game.id)
        named = "".join(row.model_dump_json(exclude_defaults=True) for row in rows)
        if one in named and other in named:
            state = replay(game, people, rows)
            if any({one, other} <= set(order) for order in state.line_ups.values()):
                return game.game
    return ""
