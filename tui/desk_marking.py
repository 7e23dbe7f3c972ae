"""Marks of a hitter known by his number alone, kept as they are typed."""

import datetime as dt

from sequencer.errors import BadInput
from sequencer.records.base import new_id
from sequencer.records.people import Mark, Person
from sequencer.records.store import Book
from tui.quick_marks import step


def mark(book: Book, team: str, number: str, name: str, by: int = 1) -> str:
    """Move a mark of the hitter of a number one step on, or back; returns what it is now.

    A number the team does not have is added to it.

    Raises
    ------
    BadInput
        If two of the team wear the number, or there is no team.
    """
    with book.transaction():
        one, new = _wearing(book, team, number)
        held = {held.mark: held.how_often for held in book.marks(one.id)}
        how_often = step(held.get(name, ""), by)
        if how_often:
            said = {"person": one.id, "mark": name, "how_often": how_often}
            book.add_mark(Mark.model_validate({**said, "date": dt.date.today()}))
        else:
            book.drop_mark(one.id, name)
    return f"{_called(one)}: {name} {how_often or 'taken off'}{new}"


def side(book: Book, team: str, number: str, bats: str) -> str:
    """Keep which side the hitter of a number hits from; both, when he was seen from the other."""
    with book.transaction():
        one, new = _wearing(book, team, number)
        both = bool(one.bats) and one.bats != bats
        book.change_person(one.id, bats="S" if both else bats)
    hits = "both ways" if both else "right" if bats == "R" else "left"
    return f"{_called(one)}: hits {hits}{new}"


def _wearing(book: Book, team: str, number: str) -> tuple[Person, str]:
    if not team:
        raise BadInput("No team is chosen: Esc, then t chooses one or a game names it.")
    found = [one for one in book.people(team) if one.number == number]
    if len(found) > 1:
        names = " and ".join(one.label for one in found)
        raise BadInput(f"{names} both wear {number}: mark them in the list, or m makes them one.")
    if found:
        return found[0], ""
    return book.add_person(Person(id=new_id(), team=team, number=number)), "   (new in this team)"


def _called(one: Person) -> str:
    return f"#{one.number} {one.name}".rstrip()
