"""A walk over all screens: every place, every key of the table there, every dialog they open."""

import asyncio
import random
from collections.abc import AsyncIterator, Callable, Iterable
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final, NoReturn

import pytest
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import Static

from sequencer.errors import BadInput
from sequencer.live.session import Session
from sequencer.records.bullpen import Bullpen, Throw
from sequencer.records.store import open_book
from tests.tui import clubs
from tests.tui.driving import Driven, opened
from tests.tui.kept_answers import Kept
from tests.tui.looking import Look, bare, faults, look
from tests.tui.monkey import send, taken
from tui import keys
from tui.screens import PLACES
from tui.screens.picture import PictureScreen
from tui.screens.working import WorkingScreen
from tui.themes import THEMES

PLACE_NAMES: Final = tuple(place.name for place in PLACES)
SIZES: Final = ((80, 24), (120, 40), (200, 60))
BOOKS: Final = ("empty", "thin", "full")
#: Actions that open a dialog.
_OPENS: Final = frozenset(
    {
        *("help", "command_palette", "new_game", "rules", "quick", "history", "zone", "picture"),
        *("add_hitter", "edit_hitter", "team", "merge", "person_page", "type_rule", "why"),
        *("what_if", "card", "or_him", "pitcher", "games", "since", "fix", "days"),
    }
)
#: Longest wait for a key to do something, and for one that need not, in hundredths of a second.
_PATIENCE: Final = 200
_SOON: Final = 1
#: Longest wait for what is being worked out, in hundredths of a second.
_LONGEST: Final = 6000


def book_of(kind: str, folder: Path) -> str:
    """Return a book: nothing in it, two clubs and a game, or a season, a game and bullpens."""
    folder.mkdir(exist_ok=True)
    path = folder / f"{kind}.db"
    if kind == "thin":
        clubs.book_at(path)
        with open_book(path) as book:
            clubs.game(book, "tonight", clubs.DAY)
    if kind == "full":
        clubs.book_at(path, games=2)
        with open_book(path) as book, book.transaction():
            _tonight(clubs.game(book, "tonight", clubs.DAY, "allowed"))
            book.add_bullpen(_pen())
    return str(path)


def _tonight(session: Session) -> None:
    """Log pitches until somebody is on base, with a count."""
    dice = random.Random(3)
    for _ in range(60):
        state = session.state
        if len(state.log) > 12 and any(state.bases) and state.count.balls:
            return
        session.add(clubs.thrown(dice, first=state.pitch_no == 1))


def _pen() -> Bullpen:
    """Return a bullpen of two sets, the second begun."""
    dice = random.Random(4)
    throws = []
    for number in range(8):
        row, side = dice.choice(("up", "belt", "down")), dice.choice(("left", "middle", "right"))
        throw = Throw(
            set_no=1 + number // 6,
            throw_no=1 + number % 6,
            pitch="fastball",
            cell=f"{row}-{side}",
            target="low-right",
            strike=True,
        )
        throws.append(throw)
    return Bullpen(id="pen", bullpen="pen", pitcher="vela", date=clubs.DAY, throws=tuple(throws))


@dataclass
class Walk:
    """What was found wrong on a walk over the screens of one app.

    Attributes
    ----------
    driven : Driven
    kind : str
        The kind of book.
    sizes, themes : sequence of sizes, of names of themes
        What every place is looked at in.
    every : bool
        Whether each size is held against each theme, and each dialog against each size, or one
        after another in turn.
    wrong : list of str
        What is wrong, where.
    looks : dict
        What each screen looked like, by where it was and its size.
    dialogs : set of str
        The dialogs that came up.
    judges : sequence of callables
        What else says what is wrong with a screen.
    """

    driven: Driven
    kind: str
    sizes: tuple[tuple[int, int], ...] = SIZES
    themes: tuple[str, ...] = ("night",)
    every: bool = False
    wrong: list[str] = field(default_factory=list)
    looks: dict[tuple[str, tuple[int, int]], Look] = field(default_factory=dict)
    dialogs: set[str] = field(default_factory=set)
    judges: tuple[Callable[[Driven], Iterable[str]], ...] = ()
    _turn: int = 0
    _focused: set[Any] = field(default_factory=set)
    _pictured: set[str] = field(default_factory=set)

    @property
    def screen(self) -> Screen[Any]:
        """The screen in front."""
        return self.driven.app.screen

    async def over_all(self) -> None:
        """Look at every place, press every key there, look at every dialog."""
        for place in PLACE_NAMES:
            await self.over(place)
        await self.over_reading_in()

    async def over_reading_in(self) -> None:
        """Look at how a file is read in: under way, being written, ended."""
        states = {
            "read in": ("Reading hitters.csv: line 1,200 …", True, ""),
            "being written": ("Writing 1,200 rows …", False, ""),
            "ended": ("", True, "1,180 added, 20 known already."),
        }
        for state, (words, may_stop, end) in states.items():
            await self.back_to("games")
            screen = WorkingScreen("Import season/hitters.csv", "Waiting for the book …")
            await self.driven.app.push_screen(screen)
            screen.tell(words, may_stop=may_stop)
            if end:
                screen.ended(end)
            self.dialogs.add(type(screen).__name__)
            for size in self.sizes:
                await self.look_at(f"a file, {state}", size)
        await self.back_to("games")

    async def over_places(self) -> None:
        """Look at every place."""
        for place in PLACE_NAMES:
            await self.back_to(place)
            for size in self.sizes:
                await self.look_at(place, size)

    async def over_dialogs(self) -> None:
        """Look at every place and at every dialog that a key of the table opens there."""
        for place in PLACE_NAMES:
            await self.back_to(place)
            await self.look_at(place, self.sizes[0])
            for key in (*keys.keys_of(place), *keys.keys_of(keys.EVERYWHERE)):
                if key.action in _OPENS and (place == "games" or key.action != "command_palette"):
                    await self.press(place, key)

    async def over(self, place: str) -> None:
        """Look at a place, press its keys, look at every dialog they open."""
        await self.back_to(place)
        for size in self.sizes:
            await self.look_at(place, size)
        for key in keys.keys_of(place):
            await self.press(place, key)
        for key in keys.keys_of(keys.EVERYWHERE):
            # Help is of this place; what goes everywhere goes from one place as from another.
            if key.action == "help" or self.every or place == "games":
                await self.press(place, key)
        if place == "dugout":
            for name, act in self.driven.app.keymap.acts.items():
                if (act.kind, act.value) == ("sign", "0"):
                    # It takes a type back: there has to be one.
                    send(self.driven.app, "1")
                    await self.rest()
                await self.press_one(place, name, f"{name} ({act.says})")

    # going

    async def back_to(self, place: str) -> None:
        """Close what is open and stand in a place that has come to rest."""
        app = self.driven.app
        while len(app.screen_stack) > 1:
            app.pop_screen()
        if app.current_mode == "dugout" and place == "dugout":
            await self._empty_hands()
        if app.current_mode != place:
            await app.action_place(place)
        await self.rest()

    async def _empty_hands(self) -> None:
        """Take back what is half typed in the dugout: Esc closes a line, ends a prefix and more."""
        for _ in range(4):
            send(self.driven.app, "escape")
        await taken(self.driven.app)

    async def rest(self) -> None:
        """Wait until nothing is being worked out and the screen stands still."""
        app = self.driven.app
        await taken(app)
        for _ in range(_LONGEST):
            if all(worker.is_finished for worker in app.workers):
                break
            await asyncio.sleep(0.01)
        else:
            pytest.fail(f"never ends: {[worker.group for worker in app.workers]}")
        # What lies over a corner for some seconds is let go by.
        app.clear_notifications()
        await self.driven.pilot.pause()

    # looking

    async def look_at(self, where: str, size: tuple[int, int]) -> None:
        """Look at what is in front in a size, in a theme in turn or in all."""
        app = self.driven.app
        self._turn += 1
        for theme in self.themes if self.every else (self.themes[self._turn % len(self.themes)],):
            app.theme = theme
            if app.size != size:
                await self.driven.pilot.resize_terminal(*size)
            await self.rest()
            self.check(where)
            await self.focus(where)
            for judge in self.judges:
                self.wrong += [f"{self.at(where)}: {fault}" for fault in judge(self.driven)]

    async def focus(self, where: str) -> None:
        """Whatever has the focus looks otherwise without it, and not by colour alone.

        What alone can have it needs no telling. All of a screen is gone through once, then only
        what has the focus.
        """
        screen, has = self.screen, self.screen.focused
        chain = screen.focus_chain
        if len(chain) < 2:
            return
        once = type(screen).__name__, where, self.themes
        looked = chain if self.every or once not in self._focused else [has]
        self._focused.add(once)
        screen.set_focus(None)
        await self.driven.pilot.pause()
        without = {one: self._bare(one) for one in looked if one is not None}
        for one, bare_one in without.items():
            screen.set_focus(one, scroll_visible=False)
            await self.driven.pilot.pause()
            if self._bare(one) == bare_one:
                self.wrong.append(f"{self.at(where)}: colour alone tells the focus of {one}")
        screen.set_focus(has, scroll_visible=False)
        await self.driven.pilot.pause()

    def _bare(self, widget: Widget) -> Any:
        there = self.screen._compositor.visible_widgets.get(widget)
        return bare(self.screen, there[0]) if there else []

    def at(self, where: str) -> str:
        """Say where something is wrong."""
        width, height = self.driven.app.size
        return f"{self.kind} book, {where}, {width}x{height}, {self.driven.app.theme}"

    def check(self, where: str) -> None:
        """Write down what is wrong with the screen in front."""
        seen, (width, height) = look(self.screen), self.driven.app.size
        self.looks[where, (width, height)] = seen
        self.wrong += [f"{self.at(where)}: {fault}" for fault in faults(seen)]

    # pressing

    async def press(self, place: str, key: keys.Key) -> None:
        """Press a key: it does something, or a sentence says why not."""
        if key.action not in (f"place({place!r})", "quit"):
            words = f"{key.shown} ({key.says})"
            await self.press_one(place, key.keys.split(",")[0], words)

    async def press_one(self, place: str, name: str, words: str) -> None:
        """Press a key by its name, and look at what comes of it."""
        app, where = self.driven.app, f"{place}, {words}"
        # Asked before the key: what it opens may come up on the way, and says nothing of it.
        before, excused = self.shown(), self.excused(name)
        send(app, name)
        for _ in range(_SOON if excused else _PATIENCE):
            await taken(app)
            if self.shown() != before:
                break
            await asyncio.sleep(0.01)
        else:
            if not excused:
                self.wrong.append(f"{self.kind} book, {where}: does nothing, says {self.said()!r}")
        if app.current_mode == place:
            await self.rest()
            if len(app.screen_stack) > 1:
                self.dialogs.add(type(app.screen).__name__)
                for size in self.sizes if self.every else (self._next_size(),):
                    await self.look_at(where, size)
                if isinstance(app.screen, PictureScreen) and place not in self._pictured:
                    self._pictured.add(place)
                    await self._over_picture(where)
            else:
                self.check(where)
        await self.back_to(place)

    async def _over_picture(self, where: str) -> None:
        """Press the keys of a picture; that of its pitches and that which closes it come last."""
        for key in keys.keys_of(keys.PICTURE):
            before, screen = self.shown(), self.screen
            send(self.driven.app, key.keys.split(",")[0])
            for _ in range(_PATIENCE):
                await taken(self.driven.app)
                if self.shown() != before:
                    break
                await asyncio.sleep(0.01)
            else:
                # Without a picture a sentence stands in its place.
                if not (isinstance(screen, PictureScreen) and screen.shown is None and screen.says):
                    self.wrong.append(f"{self.at(where)}: {key.shown} ({key.says}) does nothing")
            await self.rest()
            if self.screen is screen:
                self.check(where)
            elif len(self.driven.app.screen_stack) > 2:
                self.driven.app.pop_screen()
                await self.rest()

    def _next_size(self) -> tuple[int, int]:
        return self.sizes[self._turn % len(self.sizes)]

    def shown(self) -> Any:
        """Return all that a person sees."""
        strips = self.screen._compositor.render_strips()
        return self.driven.app.current_mode, [list(strip) for strip in strips]

    def excused(self, name: str) -> bool:
        """Whether nothing is right: Esc with nothing to stop, or a sentence already says why."""
        return name == "escape" or self.said().startswith(NOTHING_HERE)

    def said(self) -> str:
        """Return the sentence that stands in the place in front."""
        lines = self.screen.query("#say").results(Static)
        return next((str(line.content) for line in lines if line.display), "")


#: Sentences that stand where there is nothing a key could do anything with.
NOTHING_HERE: Final = (
    "No game is open",
    "No hitter yet",
    "No hitters to plan for",
    "No pitcher of ours yet",
    "Nothing to review yet",
    "Nobody to throw yet",
    "There is no review yet",
    "There is no plan yet",
    "The plan is not there yet",
    "No tour is on",
    "No hitter is chosen yet",
    "No game yet",
)


@asynccontextmanager
async def walking(
    kind: str, folder: Path, *, colour: bool, every: bool = False
) -> AsyncIterator[Walk]:
    """Open a book of a kind for a walk; no demo data are laid out."""

    def not_here() -> NoReturn:
        raise BadInput("No demo data here.")

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("tui.book_app.new_thinker", lambda book, _: Kept(book, all_of_it=every))
        for module in ("book_app", "everywhere"):
            patch.setattr(f"tui.{module}.demo_copy", not_here)
        if not colour:
            patch.setenv("NO_COLOR", "1")
        game = None if kind == "empty" else "tonight"
        themes = tuple(theme.name for theme in THEMES) if colour else ("night",)
        # The title names the book: alike wherever a walk has its folder.
        name = Path(book_of(kind, folder)).name
        patch.chdir(folder)
        async with opened(name, game=game, place="games", told=True) as driven:
            await driven.until(driven.app.can_think.is_set)
            yield Walk(driven, kind, themes=themes, every=every)
