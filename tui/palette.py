"""The palette: every command, everyone and every game of the book, and a file to read in."""

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING, Final, cast

from textual.command import CommandList, CommandPalette, DiscoveryHit, Hit, Hits, Provider

from tui.finding import Findable, Found, fit, folded, matches
from tui.messages import AskImport, OpenFound
from tui.screens.choose import ChooseScreen
from tui.views import Choice

if TYPE_CHECKING:
    from tui.app import SequencerApp

#: Hits shown at once; the rest are one choice away, on a page of their own.
SHOWN: Final = 12
#: Begins a line that reads a file into the book.
IMPORT: Final = "import "


class Palette(CommandPalette):
    """The palette; a key that pages through its list does nothing while there is none."""

    def _action_command_list(self, action: str) -> None:
        # A list that is not laid out has no lines to page by: Textual 8.2 ends the program there.
        if self.query_one(CommandList).scrollable_content_region:
            super()._action_command_list(action)


class BookProvider(Provider):
    """Commands first, then people and games by any word of name, number, team or date.

    Everything is found the same way: each word typed begins a word of what is found.
    """

    def __init__(self, *args: object, **kwargs: object) -> None:
        super().__init__(*args, **kwargs)  # type: ignore[arg-type]
        self._findable: Sequence[Findable] = ()

    @property
    def _front(self) -> "SequencerApp":
        return cast("SequencerApp", self.app)

    async def startup(self) -> None:
        """Read what there is to find, on the thread of the book."""
        self._findable = await self._front.findable()

    async def search(self, query: str) -> Hits:
        """Yield the best that fit, and a way to the rest."""
        if query.startswith(IMPORT) and query[len(IMPORT) :].strip():
            file = query[len(IMPORT) :].strip()
            yield Hit(1.0, f"import {file}", self._sends(AskImport(file)), help=_IMPORTS)
            return
        for command in self._front.get_system_commands(self.screen):
            fits = fit(folded(query), folded(f"{command.title} {command.help}"))
            if fits:
                yield Hit(1.0 + fits, command.title, command.callback, help=command.help)
        found = matches(self._findable, query)
        for score, what in found[:SHOWN]:
            yield Hit(score, what.says, self._sends(OpenFound(what.kind, what.id)), help=what.help)
        if len(found) > SHOWN:
            words = f"all {len(found)} of the book that fit “{query}”"
            yield Hit(0.01, words, partial(self._list, found, query), help="choose from a list")

    async def discover(self) -> Hits:
        """Yield every command while nothing is typed."""
        for command in self._front.get_system_commands(self.screen):
            yield DiscoveryHit(command.title, command.callback, help=command.help)

    def _sends(self, message: AskImport | OpenFound) -> Callable[[], None]:
        def send() -> None:
            self._front.post_message(message)

        return send

    def _list(self, found: Sequence[Found], query: str) -> None:
        """Show everything that fits as one list."""
        by_key = {f"{one.kind}:{one.id}": one for _, one in found}
        choices = [Choice(key, one.says) for key, one in by_key.items()]

        def opened(key: str | None) -> None:
            if key:
                self._front.post_message(OpenFound(by_key[key].kind, by_key[key].id))

        self._front.push_screen(ChooseScreen(f"“{query}”: which one?", choices), opened)


_IMPORTS: Final = "pitches, hitters or a bullpen (told by the columns); Esc stops it, nothing half"
