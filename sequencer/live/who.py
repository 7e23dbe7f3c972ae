"""Who is meant by a name or number said at the plate: someone of the book, or somebody new."""

from sequencer.errors import NotInBook
from sequencer.live.session import Session
from sequencer.records.base import new_id
from sequencer.records.event import Side
from sequencer.records.people import Person
from sequencer.records.readers.roster import said


def team_of(session: Session, side: Side) -> str:
    """Return the name of a side's team."""
    return session.game.us if side == "us" else session.game.them


def playing(session: Session) -> set[str]:
    """Return the ids of everyone known to be in the game now, either side."""
    state = session.state
    people = {*state.pitchers.values(), *state.catchers.values(), *state.bases}
    for order in state.orders.values():
        people.update(order.slots)
    return people


def found(session: Session, side: Side, text: str) -> list[Person]:
    """Return the people of a side that a name, `#7`, 7 or `name #7` means.

    Of several the ones in the game are meant, when there are any.
    """
    one = said(team_of(session, side), text)
    mates = {p.id: p for p in session.people.values() if p.team == one.team}.values()
    meant = [
        person
        for person in mates
        if (one.name or one.number)
        and (not one.name or person.name.casefold() == one.name.casefold())
        and (not one.number or person.number == one.number)
    ]
    if len(meant) > 1:
        in_game = playing(session)
        meant = [person for person in meant if person.id in in_game] or meant
    return sorted(meant, key=lambda person: (len(person.number), person.number))


def person(session: Session, side: Side, text: str, bats: str = "") -> tuple[Person, list[Person]]:
    """Return the person of a side a text means, and the people to add to the book for it.

    Raises
    ------
    NotInBook
        If two are called so.
    """
    meant = found(session, side, text)
    if len(meant) > 1:
        raise NotInBook(f"{_those(meant)} are both called {text}: say name and number.")
    if meant:
        return meant[0], []
    one = said(team_of(session, side), text)
    new = Person.model_validate(
        {"id": new_id(), "team": one.team, "name": one.name, "number": one.number, "bats": bats}
    )
    return new, [new]


def in_game(session: Session, text: str) -> tuple[Person, Side]:
    """Return someone who may be in the game, and his side; the side at bat is looked at first.

    Raises
    ------
    NotInBook
        If nobody is called so, or two are.
    """
    state = session.state
    at_play = playing(session)
    both: tuple[Side, Side] = (state.hitting, state.pitching)
    candidates = [(one, side) for side in both for one in found(session, side, text)]
    meant = [pair for pair in candidates if pair[0].id in at_play] or candidates
    if not meant:
        raise NotInBook(f"Nobody in this game is called {text}.")
    if len(meant) > 1 and meant[0][1] == meant[1][1]:
        those = _those([one for one, _ in meant])
        raise NotInBook(f"{those} are both called {text}: say name and number.")
    return meant[0]


def _those(people: list[Person]) -> str:
    return " and ".join(
        f"{one.label} (#{one.number})" if one.name and one.number else one.label for one in people
    )
