"""An app on one book: paints first, then opens the book on a thread, and goes between places."""

import asyncio
import gc
import os
from collections.abc import Callable
from importlib import import_module
from typing import TYPE_CHECKING, Any, ClassVar, Final, TypeVar, cast

from textual import events
from textual.app import App, ComposeResult
from textual.binding import BindingType
from textual.screen import Screen
from textual.widgets import Static

from sequencer.errors import CoachError
from sequencer.records.keymaps import Keymap
from tui import keys, messages
from tui import settings as kept
from tui.one_thread import OneThread
from tui.screens import PLACES
from tui.themes import THEMES
from tui.tidying import Tidying
from tui.views import BY_BOOK, Rules
from tui.widgets.key_line import KeyLine

if TYPE_CHECKING:
    from rich.console import RenderableType

    from tui.desk import Desk
    from tui.screens.place import PlaceScreen
    from tui.thinking import Thinker

T = TypeVar("T")
#: How far the processes that compute stand back: the desk first, advice before all else.
ADVICE_NICE: Final = 3
THOUGHT_NICE: Final = 8
_OPENING = "Opening the book {book} …"


class BookApp(App[CoachError | None]):
    """An app on one book: opens it, closes it, goes between its places.

    It gives why the book could not be opened, None else.

    Parameters
    ----------
    book : str
        The file to open; made when it is not there.
    game : str, optional
        A game (name or id) to open in the dugout.
    place : str
        The place to begin at; empty lets the book decide.
    settings : Settings, optional
        Theme and keys; those kept for this user when not given.
    prepare : callable, optional
        What must be done before the book is opened, such as laying out a demo; done once the
        first paint is out.
    """

    TITLE = "sequencer"
    CSS_PATH = "app.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [*keys.bindings(keys.EVERYWHERE)]
    MODES: ClassVar[dict[str, str | Callable[[], Screen[Any]]]] = {
        place.name: place.make for place in PLACES
    }
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (96, "-middling"), (112, "-wide")]  # noqa: RUF012 - as Textual has it
    VERTICAL_BREAKPOINTS = [(0, "-low"), (34, "-high")]  # noqa: RUF012 - as Textual has it

    def __init__(
        self,
        book: str,
        game: str | None = None,
        place: str = "",
        *,
        settings: kept.Settings | None = None,
        prepare: Callable[[], None] | None = None,
    ) -> None:
        # With the terminal's own colours Textual leaves colour out; else it would paint greys.
        super().__init__(ansi_color=True if os.environ.get("NO_COLOR") else None)
        self.book = book
        self._prepare = prepare
        self._game, self._place = game, place
        self.settings = settings or kept.load()
        self.keymap: Keymap = kept.keymap_of(self.settings)
        self.at_desk = OneThread("desk")
        self.at_advice = OneThread("advice")
        self.at_thought = OneThread("thought")
        self.desk: Desk | None = None
        self.advisor: Thinker | None = None
        self.thinker: Thinker | None = None
        self.can_think = asyncio.Event()
        self._tidying = Tidying()
        self._places: dict[str, PlaceScreen] = {}
        self._leaving = False
        self.trust = BY_BOOK
        self.rules: Rules = ()
        for theme in THEMES:
            self.register_theme(theme)
        self.theme = self.settings.theme

    def compose(self) -> ComposeResult:
        """Paint something at once: what is being opened, and the keys."""
        yield Static(_OPENING.format(book=self.book), id="opening", markup=False)
        yield KeyLine()

    def on_mount(self) -> None:
        """Open the book once the first paint is out."""
        self._tidying.begin(self)
        self.call_after_refresh(self._open, self.book, self._game, self._place)

    # opening and closing

    def _open(self, book: str, game: str | None, place: str) -> None:
        self.run_worker(self._open_book(book, game, place), exclusive=True, group="open")

    async def _open_book(self, book: str, game: str | None, place: str) -> None:
        """Open a book; heavy libraries are imported on the threads that use them."""
        try:
            if self._prepare is not None:
                await self.at_desk.run(self._prepare)
                self._prepare = None
            desk = await self.at_desk.run(_new_desk, book)
        except CoachError as error:
            self.exit(error)
            return
        await self._close_book()
        self.desk, self.book = desk, book
        opened = await self._at_desk(desk.resume, game)
        # What there is by now stays: looking through it for garbage would hold up a key.
        gc.freeze()
        first = place if place in self.MODES else "dugout" if opened else "games"
        await self.at_desk.run(_import_places, first)
        await self._go(first)
        self.tell_tour()
        await self._open_thought(book)

    async def _open_thought(self, book: str) -> None:
        """Open the book for what takes time, once a place can be used."""
        try:
            advisor = self.at_advice.run(new_thinker, book, ADVICE_NICE)
            thinker = self.at_thought.run(new_thinker, book, THOUGHT_NICE)
            self.advisor, self.thinker = await asyncio.gather(advisor, thinker)
        except CoachError as error:
            self.notify(str(error), severity="warning", timeout=10, markup=False)
            return
        self.can_think.set()
        self.at_thought.put(_import_places)
        self._tidying.stays()

    async def _close_book(self) -> None:
        if self.desk is not None:
            await self.at_desk.run(self.desk.close)
        self.can_think.clear()
        if self.advisor is not None:
            self.at_advice.put(self.advisor.close)
        if self.thinker is not None:
            self.at_thought.put(self.thinker.close)

    async def action_quit(self) -> None:
        """Leave; whatever is being saved is saved first."""
        self._leaving = True
        await self._close_book()
        self.exit()

    def on_unmount(self) -> None:
        """Leave this process as it was."""
        self._tidying.end()

    def exit(
        self,
        result: CoachError | None = None,
        return_code: int = 0,
        message: "RenderableType | None" = None,
    ) -> None:
        """Leave at once; no key counts from here on."""
        self._leaving = True
        super().exit(result, return_code, message)

    async def on_event(self, event: events.Event) -> None:
        """Take an event; a key or a click that comes after leaving means nothing any more.

        Screens close one by one then: it would find one half closed, or none.
        """
        if isinstance(event, events.InputEvent):
            if self._leaving:
                return
            self._tidying.typed()
        await super().on_event(event)

    async def on_open_demo(self, message: messages.OpenDemo) -> None:
        """Look around in a throw-away copy of the demo data."""
        made = await self._at_desk(demo_copy)
        if made is not None:
            self._open(*made, "")

    def tell_tour(self) -> None:
        """Show in a place that came to the front how far a tour is."""

    # places

    async def action_place(self, name: str) -> None:
        """Go to a place."""
        if self.desk is not None:
            while len(self.screen_stack) > 1:
                self.pop_screen()
            await self._go(name)

    async def _go(self, name: str) -> None:
        if self.current_mode == name:
            await self._refresh_place(name)
        else:
            await self.switch_mode(name)

    async def on_entered(self, message: messages.Entered) -> None:
        """Give a place that came to the front a fresh snapshot."""
        if message.place not in self._places:
            self._tidying.stays()
        self._places[message.place] = message.screen
        self.tell_tour()
        await self._refresh_place(message.place)

    async def _refresh_place(self, name: str) -> None:
        """Give a place a fresh snapshot; one that has never been in front asks for its own."""
        if self.desk is None or name not in self._places:
            return
        made: dict[str, Callable[[], Any]] = {
            "games": self.desk.games,
            "scouting": self.desk.scouting,
            "plan": self.desk.plan_set_up,
            "review": self.desk.review_set_up,
            "dugout": self.desk.dugout,
            "bullpen": self.desk.bullpen,
        }
        self.place_screen(name).show(await self._at_desk(made[name]))

    def place_screen(self, name: str) -> Any:
        """Return the screen of a place that has been in front."""
        return self._places[name]

    async def _at_desk(self, work: Callable[..., T], *args: Any) -> T | None:
        """Return what the desk made; None when it could not, which is said."""
        try:
            return await self.at_desk.run(work, *args)
        except CoachError as error:
            self.notify(str(error), severity="warning", timeout=10, markup=False)
            return None


def _new_desk(book: str) -> "Desk":
    from tui.desk import Desk

    return Desk(book)


def _import_places(*names: str) -> None:
    """Import screens (all, or those named) before they are shown: it would hold up a key."""
    for place in PLACES:
        if not names or place.name in names:
            import_module(place.module)


def new_thinker(book: str, nice: int) -> "Thinker":
    """Return what computes for the screens, in a process of its own."""
    from tui.away import Away

    return cast("Thinker", Away(book, nice))


def demo_copy() -> tuple[str, str]:
    """Lay the demo out in a folder that goes when the program ends: the book, tonight's game."""
    import atexit
    import tempfile
    from pathlib import Path

    from demo_scenarios import lay_out, tonight

    folder = tempfile.TemporaryDirectory(prefix="sequencer-demo-", ignore_cleanup_errors=True)
    atexit.register(folder.cleanup)
    book = Path(folder.name) / "book.db"
    lay_out(None, book)
    return str(book), tonight(None)
