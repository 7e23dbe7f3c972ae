"""A picture of the zone over any place: a value for every cell, and the pitches behind it."""

from collections.abc import Iterator
from textwrap import wrap
from typing import ClassVar, Final

from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.widgets import Static

from sequencer.records.sentences import place_words
from tui import keys
from tui.picture_views import Cell, Picture, PictureSet
from tui.screens.choose import PageScreen
from tui.screens.dialog import Dialog
from tui.widgets.big_picture import MIDDLE, BigPicture, moved
from tui.widgets.zone_picture import ZonePicture

_WAIT: Final = "Drawing …"
#: Columns of words beside the picture.
_BESIDE: Final = 27


class PictureScreen(Dialog[str]):
    """Pictures to go through; gives back a key that belongs to the place behind, "" for none.

    Parameters
    ----------
    cell : str
        Where the cursor begins, "" for the middle.
    begin : str
        The title of the picture to begin with, "" for the first.
    hand_back : frozenset of str
        Keys that close it and mean what they mean behind it: a pitch is never swallowed.
    """

    BINDINGS: ClassVar[list[BindingType]] = [*keys.bindings(keys.PICTURE)]

    def __init__(
        self, cell: str = "", begin: str = "", hand_back: frozenset[str] = frozenset()
    ) -> None:
        super().__init__()
        self._cell, self._begin, self._hand_back = cell or MIDDLE, begin, hand_back
        self._set: PictureSet | None = None
        self._at = 0
        self._smoothed = False
        self._told = _WAIT

    def compose(self) -> ComposeResult:
        """Lay out title, picture, what is drawn, what the cursor is on, keys."""
        with Vertical(id="picture"):
            yield Static(id="picture-title", markup=False)
            with Horizontal(id="picture-field"):
                yield BigPicture(id="big")
                yield Static(id="picture-beside", markup=False)
            yield Static(id="picture-says", markup=False)
            yield Static(f"arrows cell  {keys.hint(keys.PICTURE)}", classes="dim", markup=False)

    def on_mount(self) -> None:
        """Draw what there is by now."""
        self._draw()

    # what is drawn

    def show(self, pictures: PictureSet) -> None:
        """Take the pictures, unless this screen has been put away by now."""
        self._set, self._told = pictures, ""
        titles = [picture.title for picture in pictures.pictures]
        self._at = titles.index(self._begin) if self._begin in titles else 0
        self._draw()

    def could_not(self, sentence: str) -> None:
        """Say why there is no picture."""
        self._told = sentence
        self._draw()

    @property
    def shown(self) -> Picture | None:
        """The picture that is drawn."""
        return self._set.pictures[self._at] if self._set and self._set.pictures else None

    @property
    def says(self) -> str:
        """The sentence under the picture, or above where there is none."""
        return self._under.says or (self._set.title if self._set else "")

    @property
    def _under(self) -> Cell:
        """What is said of the cell under the cursor."""
        picture = self.shown
        if picture is None:
            return Cell(self._told)
        words = place_words(self._cell, picture.zone.bats)
        return picture.cells.get(
            self._cell, Cell(f"{words[:1].upper()}{words[1:]}: {picture.nothing}")
        )

    def _draw(self) -> None:
        if not (self.is_mounted and self.is_attached):
            return
        picture, big = self.shown, self.query_one(BigPicture)
        big.picture, big.smoothed, big.cell = picture, self._smoothed, self._cell
        title = self._set.title if self._set else ""
        self.query_one("#picture-title", Static).update(title, layout=False)
        lines = list(self._beside(picture)) if picture and self._set else []
        if len(lines) > self.query_one("#picture-beside").size.height:
            lines = [line for line in lines if line]
        beside = "\n".join(lines)
        self.query_one("#picture-beside", Static).update(Text(beside), layout=False)
        says = "\n".join(self._says(picture))
        self.query_one("#picture-says", Static).update(says, layout=False)

    def _beside(self, picture: Picture) -> Iterator[str]:
        titles, kinds = self._titles, self._kinds
        yield _turn("z", picture.title, titles)
        yield _turn("a", picture.of, kinds)
        smooth = picture.smooth if self._smoothed else None
        yield f"s  {'smoothed' if smooth else 'counted'}"
        yield ""
        yield from smooth.legend if smooth else picture.legend
        yield ""
        yield from wrap(smooth.says if smooth else picture.rests_on, _BESIDE)

    def _says(self, picture: Picture | None) -> Iterator[str]:
        under = self._under
        more = (
            f"   Enter shows {'it' if len(under.pitches) == 1 else 'them'}."
            if under.pitches
            else ""
        )
        yield under.says + more
        if picture is not None and self._smoothed:
            yield under.smooth if picture.smooth else f"Not smoothed: {picture.not_smooth}"

    @property
    def _titles(self) -> list[str]:
        return list(dict.fromkeys(one.title for one in self._set.pictures)) if self._set else []

    @property
    def _kinds(self) -> list[str]:
        picture = self.shown
        if self._set is None or picture is None:
            return []
        return [one.of for one in self._set.pictures if one.title == picture.title]

    def on_resize(self) -> None:
        """Draw again with the room there is now."""
        self.call_after_refresh(self._draw)

    # what is asked

    def on_key(self, event: events.Key) -> None:
        """Hand a key of the place behind back to it."""
        if event.character in self._hand_back:
            event.stop()
            event.prevent_default()
            self.dismiss(event.character)

    def action_cell(self, way: str) -> None:
        """Move the cursor."""
        self._cell = moved(self._cell, way)
        self._draw()

    def on_zone_picture_clicked(self, message: ZonePicture.Clicked) -> None:
        """Put the cursor on the cell clicked; clicked again, its pitches are shown."""
        message.stop()
        if message.cell and message.cell == self._cell:
            self.action_pitches()
        elif message.cell:
            self._cell = message.cell
            self._draw()

    def action_turn(self, by: int) -> None:
        """Show the next picture, of the same pitches where there is one."""
        picture, titles = self.shown, self._titles
        if picture is not None and len(titles) < 2:
            self._tell("There is only this picture here.")
        elif picture is not None:
            title = titles[(titles.index(picture.title) + by) % len(titles)]
            self._show(title, picture.of)

    def action_which(self) -> None:
        """Show the same of the next kind of pitches."""
        picture, kinds = self.shown, self._kinds
        if picture is not None and len(kinds) < 2:
            self._tell("There is only one kind of pitches here.")
        elif picture is not None:
            self._show(picture.title, kinds[(kinds.index(picture.of) + 1) % len(kinds)])

    def _show(self, title: str, of: str) -> None:
        assert self._set is not None
        pictures = self._set.pictures
        fits = [i for i, one in enumerate(pictures) if one.title == title]
        self._at = next((i for i in fits if pictures[i].of == of), fits[0])
        self._draw()

    def action_smooth(self) -> None:
        """Show the picture smoothed, or counted again."""
        self._smoothed = not self._smoothed
        self._draw()

    def action_pitches(self) -> None:
        """Show the pitches behind the cell under the cursor."""
        under = self._under
        if self._set is not None and under.pitches:
            lines = (f" {self._set.pitches[i]}" for i in under.pitches)
            self.app.push_screen(PageScreen("\n".join((under.says, *lines))))
        else:
            self._tell("There are no pitches to list behind this cell.")

    def _tell(self, words: str) -> None:
        self.notify(words, timeout=4, markup=False)

    @property
    def begins(self) -> str:
        """The title of the picture that is drawn, to begin with the next time."""
        return self.shown.title if self.shown else ""


def _turn(key: str, now: str, there: list[str]) -> str:
    """Return a line of what a key goes through: what is shown, and which of how many."""
    return f"{key}  {now}" + (f" ({there.index(now) + 1} of {len(there)})" if there[1:] else "")
