"""Everyone and every game of a book, as the palette finds them."""

from sequencer.records.game import Game
from sequencer.records.people import Person
from sequencer.records.store import Book
from tui.finding import Findable, Kind, folded

_SIDES = {"R": "hits right", "L": "hits left", "S": "hits both ways", "": ""}


def findable(book: Book) -> tuple[Findable, ...]:
    """Return the people of a book, then its games, the newest first.

    Someone of ours with signs or a bullpen is a pitcher and opens his own page; everybody else
    opens in scouting.
    """
    ours = {team.name for team in book.teams() if team.ours}
    thrown = {pen.pitcher for pen in book.bullpens()}
    people = (_person(one, ours, thrown) for one in book.people() if one.number != "?P")
    return (*people, *map(_game, reversed(book.games())))


def _person(one: Person, ours: set[str], thrown: set[str]) -> Findable:
    pitches = one.team in ours and bool(one.signs or one.id in thrown or not one.bats)
    kind: Kind = "pitcher" if pitches else "hitter"
    number = f"#{one.number} " if one.number and one.name else ""
    side = "" if pitches else _SIDES[one.bats]
    told = ", ".join(word for word in (f"{number}{one.label}", one.team, side) if word)
    opens = "his page as a pitcher" if pitches else "scouting: his marks and what he showed"
    words = folded(f"{one.label} {one.number} {one.team} {kind}")
    return Findable(kind, one.id, told, opens, tuple(dict.fromkeys(words)))


def _game(game: Game) -> Findable:
    again = f" ({game.game_no})" if game.game_no > 1 else ""
    told = f"{game.date}{again}  {game.us} and {game.them}   {game.game}"
    words = folded(f"{game.date} {game.date:%m-%d} {game.us} {game.them} {game.game} game")
    return Findable("game", game.id, told, "opens in the dugout", tuple(dict.fromkeys(words)))
