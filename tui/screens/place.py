"""What every place shares: a title line, a body, one line for sentences, its keys, the footer."""

import asyncio
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any, ClassVar, Protocol, cast

from textual import events
from textual.app import ComposeResult
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from sequencer.records.keymaps import Keymap
from tui import keys
from tui.messages import Entered, StopWork
from tui.screens.dialog import styled_by_now
from tui.tour import TourStrip
from tui.views import Choice, ReviewLists, Rules
from tui.widgets.key_line import HintLine, KeyLine
from tui.widgets.too_small import TooSmall
from tui.widgets.zone_picture import ZonePicture

if TYPE_CHECKING:
    from tui.screens.choose import ChooseScreen


class Front(Protocol):
    """What a screen may ask of the app directly: things whose order matters."""

    keymap: Keymap

    async def save(self, entry: Any, first: Any = None) -> str:
        """Save a pitch, then show it; returns why not, "" when saved."""
        ...

    async def carry_out(self, command: Any, before: int = 0) -> str:
        """Carry out a command of the entry grammar; returns why not, "" when done.

        An event goes before a pitch, where one is named.
        """
        ...

    async def insert(self, n: int, pitch: Any) -> str:
        """Save a pitch that was missed as the game's n-th, then show it; returns why not."""
        ...

    async def next_three(self) -> str:
        """Return the page of the next three hitters."""
        ...

    async def hide_advice(self, hidden: bool) -> None:
        """Keep whether advice is hidden in this game."""
        ...

    async def say_line(self, line: str, shown: str = "") -> str:
        """Carry out an entry typed as a line, a call being shown or none; returns the answer."""
        ...

    async def address(self, seq: int) -> tuple[str, str]:
        """Return where the event of a row stands, as lines name it, and the line that says it."""
        ...

    async def rules_with(self, rules: Rules, whom: str, words: str) -> tuple[Rules, str]:
        """Return rules with one more or without it, and why words are none ("" where they are)."""
        ...

    async def keep_mark(self, kind: str, team: str, number: str, what: str) -> str:
        """Keep a quick mark; returns what was kept, or why it was not."""
        ...

    async def pitchers(self) -> tuple[Choice, ...]:
        """Return our pitchers."""
        ...

    async def review_lists(self) -> ReviewLists:
        """Return whom and which games a review can be of, as far as is told without reading."""
        ...

    def read_whom(self, dialog: "ChooseScreen") -> None:
        """Give a list of whom to review everybody the book names, once it is read."""
        ...

    def stop_reading_whom(self) -> None:
        """Stop that: the list is closed."""
        ...

    async def at_bullpen(self, work: str, *args: Any) -> str:
        """Do something in the bullpen, then show it; returns why not, "" when done."""
        ...

    async def teams(self) -> tuple[Choice, ...]:
        """Return the teams of the book, opponents first."""
        ...


class PlaceScreen(Screen[None]):
    """A place. `view` is a frozen snapshot the app sets; `draw` shows it."""

    PLACE: ClassVar[str] = ""
    CSS_PATH = "places.tcss"
    DEFAULT_CSS = "PlaceScreen { layers: default above; }"

    def __init__(self) -> None:
        super().__init__(id=self.PLACE)
        styled_by_now(self)
        self._view: Any = None
        self._titled = ""

    @property
    def front(self) -> Front:
        """The app, as a screen may use it."""
        return cast(Front, self.app)

    def compose(self) -> ComposeResult:
        """Lay the place out: title, body, sentence, keys, footer."""
        yield Static(id="title", markup=False)
        yield from self.body()
        yield Static(id="say", markup=False)
        yield HintLine(self.hint)
        yield KeyLine()
        yield TourStrip(id="tour", markup=False)
        yield TooSmall(id="too-small", markup=False)

    def body(self) -> Iterable[Widget]:
        """Return the widgets between title and sentence."""
        raise NotImplementedError

    def hint(self, width: int) -> str:
        """Return this place's own keys in lines so wide."""
        return keys.lines_of(keys.hint(self.PLACE), width)

    async def on_event(self, event: events.Event) -> None:
        """Let other work have its turn between two events, however many are waiting."""
        await super().on_event(event)
        await asyncio.sleep(0)

    def on_screen_resume(self) -> None:
        """Ask the app for a fresh snapshot whenever the place comes to the front."""
        self.post_message(Entered(self.PLACE, self))

    def on_resize(self) -> None:
        """Say that there is no room, where there is not."""
        for cover in self.query(TooSmall):
            cover.fit(*self.size, self._titled)

    def show(self, view: Any) -> None:
        """Take a new snapshot and draw it."""
        self._view = view
        if self.is_mounted and self.query("#title"):
            self.draw()

    def draw(self) -> None:
        """Draw the snapshot."""
        raise NotImplementedError

    def action_stop(self) -> None:
        """Stop what this place has asked for."""
        self.post_message(StopWork(self.PLACE))

    def action_picture(self, cell: str = "") -> None:
        """Show the picture of this place large, the cursor on a cell."""
        self.say("There is no picture of the zone here.")

    def on_zone_picture_clicked(self, message: ZonePicture.Clicked) -> None:
        """Show a small picture that was clicked large."""
        self.action_picture(message.cell)

    def stopped(self) -> None:
        """Say that it was stopped."""
        self.say("Stopped: nothing was written.")

    def say(self, sentence: str) -> None:
        """Show one sentence where the eye is."""
        line = self.query_one("#say", Static)
        if line.content != sentence:
            line.update(sentence)
        line.set_class(not sentence, "-quiet")

    def title_line(self, words: str) -> None:
        """Show the title line."""
        self._titled = words
        for cover in self.query(TooSmall):
            cover.fit(*self.size, words)
        self.query_one("#title", Static).update(words, layout=False)


def fill(options: OptionList, choices: Iterable[Choice], chosen: str = "") -> None:
    """Fill a list with choices, keeping the chosen one highlighted.

    Clearing a list forgets its highlight, so the one to keep is named by id.
    """
    listed = list(choices)
    options.clear_options()
    options.add_options([Option(choice.says, id=choice.id) for choice in listed])
    ids = [choice.id for choice in listed]
    if ids:
        options.highlighted = ids.index(chosen) if chosen in ids else 0
