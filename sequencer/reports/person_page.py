"""What the book believes of one person: the page of a hitter, of a pitcher, or both."""

from typing import Any, NamedTuple

from sequencer.errors import NotInBook
from sequencer.estimates.command import shapes
from sequencer.estimates.platoon import platoon
from sequencer.estimates.separable import separable
from sequencer.estimates.strikes import strikes_of
from sequencer.live.scouting import Met, Scouting, league_of
from sequencer.records import frames
from sequencer.records.people import Person
from sequencer.reports.hitter_text import hitter_json, hitter_text
from sequencer.reports.pitcher_json import MARK, pitcher_json
from sequencer.reports.pitcher_text import pitcher_text


class Page(NamedTuple):
    """A page as text and as JSON would hold it."""

    text: str
    json: dict[str, Any]


def person_page(scouting: Scouting, who: str, *, level: str = "", throws: str = "") -> Page:
    """Return what is believed of a person of the book.

    One of ours who has pitched is shown as a pitcher, one who has hit or is of another team as a
    hitter; both when both are so.

    Parameters
    ----------
    who : str
        A name, #number, both, or an id.
    level : str
        Level he is seen at; else his team's.
    throws : str
        The hand a hitter of both sides faces.

    Raises
    ------
    NotInBook
        If nobody, or more than one, is called so.
    """
    book = scouting.book
    if book is None:
        raise NotInBook(f"There is no book to look {who} up in: name one with --book.")
    person = book.find_person(None, who)
    at = scouting.level_of(person, level)
    pages = [
        page
        for page in (
            _pitcher(scouting, person, at) if _pitches(scouting, person) else None,
            _hitter(scouting, person, at, throws) if _hits(scouting, person) else None,
        )
        if page is not None
    ]
    said = {"id": person.id, "team": person.team, "name": person.label, "level": at}
    parts = {key: part for page in pages for key, part in page.json.items()}
    return Page("\n\n".join(page.text for page in pages), said | parts)


def _ours(scouting: Scouting, person: Person) -> bool:
    assert scouting.book is not None
    return any(team.ours and team.name == person.team for team in scouting.book.teams())


def _pitches(scouting: Scouting, person: Person) -> bool:
    """Whether he has thrown a pitch in a game or a bullpen, or is said to have signs for some."""
    seen = scouting.pitches_of(person.id)
    assert scouting.book is not None and seen is not None
    if person.signs or bool((seen["pitcher_id"] == person.id).any()):
        return True
    return not frames.bullpen_frame(scouting.book, pitcher=person.id).empty


def _hits(scouting: Scouting, person: Person) -> bool:
    """Whether he is theirs, has been up, is marked, or nothing makes him a pitcher."""
    seen = scouting.pitches_of(person.id)
    assert scouting.book is not None and seen is not None
    hit = bool((seen["hitter_id"] == person.id).any())
    marked = bool(list(scouting.book.marks(person.id)))
    return not _ours(scouting, person) or hit or marked or not _pitches(scouting, person)


def _hitter(scouting: Scouting, person: Person, level: str, throws: str) -> Page:
    assert scouting.book is not None
    marks = tuple(scouting.book.marks(person.id))
    belief = scouting.hitter(Met(person, marks), league_of(level), throws=throws)
    return Page(hitter_text(belief, marks), {"as_hitter": hitter_json(belief, marks)})


def _pitcher(scouting: Scouting, person: Person, level: str) -> Page:
    seen = scouting.pitches_of(person.id)
    assert scouting.book is not None and seen is not None
    games = seen[seen["pitcher_id"] == person.id]
    pens = frames.bullpen_frame(scouting.book, pitcher=person.id)
    belief = scouting.pitcher(person.id, level)
    types = [pitch.pitch for pitch in belief.arsenal]
    strikes = strikes_of(games, pens, level, types)
    apart = separable(shapes([games, pens]), types)
    sides = platoon(belief, games)
    return Page(
        pitcher_text(belief, strikes, apart, sides, mark=MARK),
        {"as_pitcher": pitcher_json(belief, strikes, apart, sides)},
    )
