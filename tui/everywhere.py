"""What works in every place: finding anyone, reading a file in, stopping what takes long."""

from collections.abc import Callable, Coroutine, Sequence
from functools import partial
from typing import TYPE_CHECKING, Any, ClassVar

from textual.binding import Binding, BindingType
from textual.command import Provider
from textual.filter import LineFilter

from sequencer.errors import CoachError
from tui import messages
from tui.book_app import BookApp, demo_copy
from tui.cells import Harmless
from tui.finding import Findable
from tui.tour import STEPS, TourStrip, step_words

if TYPE_CHECKING:
    from tui.screens.choose import PageScreen
    from tui.screens.working import WorkingScreen


#: What takes time: called once its turn has come.
Thought = Callable[..., Coroutine[Any, Any, None]]


def _book_provider() -> type[Provider]:
    from tui.palette import BookProvider

    return BookProvider


class EverywhereApp(BookApp):
    """An app whose palette finds what is in the book."""

    COMMANDS: ClassVar = {_book_provider}
    # Whoever suspends a program in this terminal is let: the screen is painted anew afterwards.
    BINDINGS: ClassVar[list[BindingType]] = [Binding("ctrl+z", "suspend_process", show=False)]
    _drawn = Harmless()
    _tour: int | None = None
    _own = ""

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Return what every line drawn goes through."""
        return [self._drawn, *super().get_line_filters()]

    def on_mount(self) -> None:
        """Paint everything anew once a suspended program is in front again."""
        self.app_resume_signal.subscribe(self, lambda _: self._paint_soon())

    def _paint_soon(self) -> None:
        self.set_timer(0.05, self._paint_anew)

    def _paint_anew(self) -> None:
        for screen in self.screen_stack[-1:]:
            screen.refresh(layout=True)

    # the tour

    async def on_begin_tour(self) -> None:
        """Lay the demo out and begin; the book that is open is opened again afterwards."""
        if self._tour is None:
            self._own = self.book
            made = await self._at_desk(demo_copy)
            if made is None:
                return
            self._tour = 0
            self._open(*made, STEPS[0].place)

    async def action_tour_next(self) -> None:
        """Go on with the tour; after its last step it ends."""
        if self._tour is None:
            self._say_no_tour()
        elif self._tour + 1 == len(STEPS):
            self.action_tour_end()
        else:
            self._tour += 1
            await self.action_place(STEPS[self._tour].place)
            self.tell_tour()

    def action_tour_end(self) -> None:
        """End the tour and open the book it began in."""
        if self._tour is None:
            self._say_no_tour()
            return
        self._tour = None
        self.tell_tour()
        self._open(self._own, None, "games")

    def _say_no_tour(self) -> None:
        self._say_here("No tour is on: t in games (F6) begins one.")

    def _say_here(self, words: str) -> None:
        """Say something in the place in front; one that is only coming says nothing yet."""
        if self.current_mode in self._places:
            self.place_screen(self.current_mode).say(words)

    def tell_tour(self) -> None:
        """Show the words of the tour in the place in front, or take them away."""
        words = "" if self._tour is None else step_words(self._tour, self.keymap)
        for screen in self.screen_stack[:1]:
            for strip in screen.query(TourStrip):
                strip.tell(words)

    # what takes time

    def _think(self, group: str, work: Thought, *asked: Any) -> None:
        # Called by its worker: one that is replaced before it begins leaves nothing unfinished.
        begun: Callable[[], Any] = partial(self._guarded, work, *asked)
        self.run_worker(begun, exclusive=True, group=group)

    async def _guarded(self, work: Thought, *asked: Any) -> None:
        """Await a computation; whatever goes wrong in it, logging goes on."""
        try:
            await work(*asked)
        except CoachError as error:
            self.notify(str(error), severity="warning", markup=False)
        except Exception as error:
            self.log.error(error)
            words = f"That could not be worked out ({type(error).__name__}: {error})."
            self.notify(f"{words} What was logged is kept.", severity="error", markup=False)

    def on_stop_work(self, message: messages.StopWork) -> None:
        """Stop what a place has asked for, and say so."""
        groups = {
            worker.group
            for worker in self.workers
            if worker.group.partition(":")[0] == message.place and not worker.is_finished
        }
        for group in groups:
            self.workers.cancel_group(self, group)
        if groups:
            self.place_screen(message.place).stopped()

    # finding

    def action_command_palette(self) -> None:
        """Show the palette, unless it is there."""
        from tui.palette import Palette

        if not isinstance(self.screen, Palette):
            self.push_screen(Palette(id="--command-palette"))

    async def findable(self) -> Sequence[Findable]:
        """Return everyone and every game of the book, as the palette finds them."""
        if self.desk is None:
            return ()
        return await self._at_desk(self.desk.findable) or ()

    async def on_open_found(self, message: messages.OpenFound) -> None:
        """Open what was found: a game in the dugout, anyone else in scouting."""
        assert self.desk is not None
        if message.kind == "game":
            self.post_message(messages.OpenGame(message.id))
            return
        if await self._at_desk(self.desk.choose_person, message.id) is None:
            return
        await self.action_place("scouting")
        screen: Any = self.screen
        screen.choose(message.id)
        await self._refresh_place("scouting")
        if message.kind == "pitcher":
            self.post_message(messages.AskPage(message.id))

    # scouting

    async def keep_mark(self, kind: str, team: str, number: str, what: str) -> str:
        """Keep a quick mark; returns what was kept, or why it was not."""
        assert self.desk is not None
        try:
            return await self.at_desk.run(self.desk.quick_mark, kind, team, number, what)
        except CoachError as error:
            return f"Not kept: {error}"

    def on_ask_history(self, message: messages.AskHistory) -> None:
        """Show a hitter's at-bats over the place, once they are read."""
        from tui.screens.choose import PageScreen

        screen = PageScreen("Looking his at-bats up …")
        self.show_page(screen)
        self._think("page", self._history, message.person_id, screen)

    async def _history(self, person_id: str, screen: "PageScreen") -> None:
        await self.can_think.wait()
        if self.thinker is not None:
            work, told = self.thinker.history, self.telling(screen.show)
            screen.show(await self.at_thought.run_stoppable(work, person_id, told))

    def show_page(self, screen: "PageScreen") -> None:
        """Show a page over the place; what works it out stops when it is put away."""

        def put_away(_: None) -> None:
            self.workers.cancel_group(self, "page")

        self.push_screen(screen, put_away)

    def telling(self, tell: Callable[[str], None]) -> Callable[[str], None]:
        """Return what tells from a thread how far something is."""

        def told(words: str) -> None:
            self.call_later(tell, words)

        return told

    # reading a file in

    def on_ask_import(self, message: messages.AskImport) -> None:
        """Read a file into the book; the screen says how far, and Esc stops it."""
        from tui.screens.working import WorkingScreen

        screen = WorkingScreen(f"Import {message.file}", "Waiting for the book …")

        def put_away(while_working: bool | None) -> None:
            if while_working:
                self.workers.cancel_group(self, "import")
                self._say_here("Import stopped: nothing was read in.")

        self.push_screen(screen, put_away)
        self._think("import", self._import, message.file, screen)

    async def _import(self, file: str, screen: "WorkingScreen") -> None:
        await self.can_think.wait()
        if self.thinker is None:
            return

        def told(words: str) -> None:
            self.call_later(screen.tell, words)

        try:
            rows = await self.at_thought.run_stoppable(self.thinker.read_file, file, told)
            screen.tell(f"Writing {rows} rows …", may_stop=False)
            says = await self.at_thought.run(self.thinker.write_file)
        except CoachError as error:
            screen.ended(str(error))
            return
        screen.ended(says)
        await self._refresh_place(self.current_mode)
