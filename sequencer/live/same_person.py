"""One player under two entries of the book: made one, and made two again."""

from dataclasses import dataclass

from sequencer.errors import BookError, NotInBook
from sequencer.records.game import Game
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
        If they are one already, or were up in one game as only two players can be: nothing is
        changed.
    NotInBook
        If an id is nobody's.
    """
    kept, lost = book.person(keep), book.person(gone)
    two = f"{full(lost)} and {full(kept)}"
    games = _games_of_both(book, kept.id, lost.id)
    before = [_hitters(book, game) for game in games]
    with book.transaction():
        book.merge_people(kept.id, lost.id)
        for game, hitters in zip(games, before, strict=True):
            if _hitters(book, game) != [kept.id if id_ == lost.id else id_ for id_ in hitters]:
                raise BookError(f"{two} are two players: both hit in the order of {game.game}.")
        now = book.person(kept.id)
    says = f"{two} are one player from now on: {full(now)}, with all pitches and marks of both."
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


def _games_of_both(book: Book, one: str, other: str) -> list[Game]:
    """Return the games whose rows name both."""

    def named(game: Game) -> bool:
        said = "".join(row.model_dump_json(exclude_defaults=True) for row in book.rows(game.id))
        return one in said and other in said

    return [game for game in book.games() if named(game)]


def _hitters(book: Book, game: Game) -> list[str]:
    """Return who was up at each pitch of a game."""
    state = replay(game, book.everyone(), book.rows(game.id))
    return [one.before.hitter for one in state.log]
