"""What screens ask of the app. The app saves, then shows, then asks a worker."""

from collections.abc import Awaitable, Callable, Mapping
from typing import TYPE_CHECKING

from textual.message import Message

if TYPE_CHECKING:
    from tui.finding import Kind
    from tui.picture_views import PicturesAsked
    from tui.screens.place import PlaceScreen
    from tui.views import PlanQuestion, PlanStamp, ReviewAsked


class OpenGame(Message):
    """Open a game in the dugout."""

    def __init__(self, game_id: str) -> None:
        super().__init__()
        self.game_id = game_id


class MakeGame(Message):
    """Make a game of what a form said, and open it."""

    def __init__(self, said: Mapping[str, str]) -> None:
        super().__init__()
        self.said = said


class AskRules(Message):
    """Show the rule changes of a game, to be edited."""

    def __init__(self, game_id: str) -> None:
        super().__init__()
        self.game_id = game_id


class ChangeRules(Message):
    """Keep what a form said of a game's rules."""

    def __init__(self, game_id: str, said: Mapping[str, str]) -> None:
        super().__init__()
        self.game_id, self.said = game_id, said


class OpenDemo(Message):
    """Open a throw-away copy of the demo data instead of this book."""


class ShowHitter(Message):
    """Show a hitter's page, and compute his traits."""

    def __init__(self, person_id: str) -> None:
        super().__init__()
        self.person_id = person_id


class SetMark(Message):
    """Give a hitter a mark (once, some, always), or take it off (empty)."""

    def __init__(self, person_id: str, mark: str, how_often: str) -> None:
        super().__init__()
        self.person_id, self.mark, self.how_often = person_id, mark, how_often


class SavePerson(Message):
    """Keep what a form said of a person; an empty id makes a new one."""

    def __init__(self, person_id: str, team: str, said: Mapping[str, str]) -> None:
        super().__init__()
        self.person_id, self.team, self.said = person_id, team, said


class MergePeople(Message):
    """Say that two entries of the book are one player, who keeps the first one's page."""

    def __init__(self, keep: str, gone: str) -> None:
        super().__init__()
        self.keep, self.gone = keep, gone


class TakeMergeBack(Message):
    """Take the last merge into a player back."""

    def __init__(self, person_id: str) -> None:
        super().__init__()
        self.person_id = person_id


class AskPlan(Message):
    """Compute the plan of a team's hitters against a pitcher."""

    def __init__(self, stamp: "PlanStamp", hitters: tuple[str, ...]) -> None:
        super().__init__()
        self.stamp, self.hitters = stamp, hitters


class AskOfPlan(Message):
    """Ask something of the plan that is on the screen; words go with a question that needs them."""

    def __init__(self, stamp: "PlanStamp", question: "PlanQuestion", words: str = "") -> None:
        super().__init__()
        self.stamp, self.question, self.words = stamp, question, words


class AskPage(Message):
    """Show the whole page of a person: as a hitter, as a pitcher, or both."""

    def __init__(self, person_id: str) -> None:
        super().__init__()
        self.person_id = person_id


class AskReview(Message):
    """Review a pitcher, a caller, a catcher, over some games."""

    def __init__(self, asked: "ReviewAsked") -> None:
        super().__init__()
        self.asked = asked


class SendToBullpen(Message):
    """Keep lines of the set list, each with its pitcher's id, for the next bullpen."""

    def __init__(self, steps: tuple[tuple[str, str], ...]) -> None:
        super().__init__()
        self.steps = steps


class BeginTour(Message):
    """Show the places one after another on demo data."""


class AskPictures(Message):
    """Show pictures of the zone over a place, the cursor on a cell, beginning with a title."""

    def __init__(self, asked: "PicturesAsked", cell: str = "", begin: str = "") -> None:
        super().__init__()
        self.asked, self.cell, self.begin = asked, cell, begin


class AskPenPictures(Message):
    """Show where the throws of a pitcher went about each target, those of one bullpen first."""

    def __init__(self, pitcher_id: str, pen_id: str, cell: str = "") -> None:
        super().__init__()
        self.pitcher_id, self.pen_id, self.cell = pitcher_id, pen_id, cell


class AskGamePictures(Message):
    """Show the pitches of the game being logged; keys of the dugout are given `back` to it."""

    def __init__(
        self,
        hand_back: frozenset[str],
        back: Callable[[str | None], Awaitable[None]],
        cell: str = "",
    ) -> None:
        super().__init__()
        self.hand_back, self.back, self.cell = hand_back, back, cell


class AskHistory(Message):
    """Show every at-bat of a hitter against us."""

    def __init__(self, person_id: str) -> None:
        super().__init__()
        self.person_id = person_id


class StopWork(Message):
    """Stop what a place has asked for and nobody wants to wait for."""

    def __init__(self, place: str) -> None:
        super().__init__()
        self.place = place


class OpenFound(Message):
    """Open what the palette found: a hitter, a pitcher or a game of the book."""

    def __init__(self, kind: "Kind", id_: str) -> None:
        super().__init__()
        self.kind, self.id = kind, id_


class AskImport(Message):
    """Read a file into the book."""

    def __init__(self, file: str) -> None:
        super().__init__()
        self.file = file


class AskAdvice(Message):
    """Compute the next call for the game as it stands at a stamp."""

    def __init__(self, stamp: int) -> None:
        super().__init__()
        self.stamp = stamp


class Entered(Message):
    """A place came to the front and wants a fresh snapshot."""

    def __init__(self, place: str, screen: "PlaceScreen") -> None:
        super().__init__()
        self.place, self.screen = place, screen


class AskGameForm(Message):
    """Show the form of a new game, with what the book suggests."""


class ChooseTeam(Message):
    """Show another team in a place."""

    def __init__(self, place: str, team: str) -> None:
        super().__init__()
        self.place, self.team = place, team


class ChoosePitcher(Message):
    """Show another of our pitchers in a place."""

    def __init__(self, place: str, pitcher_id: str) -> None:
        super().__init__()
        self.place, self.pitcher_id = place, pitcher_id
