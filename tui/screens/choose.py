"""Dialogs: choose one of a list, fill in a few lines, read help or a person's page."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar, Final

from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Grid, Vertical, VerticalScroll
from textual.widget import Widget
from textual.widgets import Input, Label, OptionList, Select, Static

from tui import keys
from tui.help_drawn import drawn
from tui.messages import BeginTour
from tui.screens.dialog import Dialog
from tui.screens.place import fill
from tui.views import Choice
from tui.widgets.choices import Choices

#: Lines of a form that are laid out before it is drawn.
_AT_ONCE: Final = 3
_CHOOSES: Final = "Enter chooses, Esc goes back."


class ChooseScreen(Dialog[str]):
    """Choose one of a list; gives its id, "" for none.

    `hand_back` are keys that close the dialog and mean what they mean behind it: `key:` and the
    key is given, so that a pitch is never swallowed.
    """

    BINDINGS: ClassVar[list[BindingType]] = [("escape", "dismiss('')", "back")]

    def __init__(
        self,
        title: str,
        choices: Sequence[Choice],
        chosen: str = "",
        hand_back: frozenset[str] = frozenset(),
    ) -> None:
        super().__init__()
        self._title, self._choices, self._chosen = title, choices, chosen
        self._hand_back = hand_back

    def compose(self) -> ComposeResult:
        """Lay the list out."""
        with Vertical(classes="dialog"):
            yield Static(self._title, classes="dialog-title", markup=False)
            yield Choices(markup=False)
            yield Static(_CHOOSES, id="foot", classes="dim", markup=False)

    def on_mount(self) -> None:
        """Fill the list."""
        fill(self.query_one(OptionList), self._choices, self._chosen)

    def says(self, chosen: str) -> str:
        """Return what a line of the list says, "" for none."""
        return next((choice.says for choice in self._choices if choice.id == chosen), "")

    def tell(self, words: str) -> None:
        """Say how far it is with what the list still lacks; "" when it is all there."""
        if self.is_attached and self.query("#foot"):
            told = f"{words}   {_CHOOSES}" if words else _CHOOSES
            self.query_one("#foot", Static).update(told)

    def take(self, choices: Sequence[Choice]) -> None:
        """List these instead; the cursor stays where it is."""
        if not self.is_attached or not self.query("#foot"):
            return
        lines = self.query_one(OptionList)
        at = lines.highlighted_option
        self._choices = choices
        fill(lines, self._choices, (at.id if at is not None else "") or self._chosen)
        self.tell("")

    def on_key(self, event: events.Key) -> None:
        """Hand a key of the place behind back to it."""
        if event.character in self._hand_back:
            event.stop()
            self.dismiss(f"key:{event.character}")

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Give the chosen one."""
        self.dismiss(event.option.id or "")


@dataclass(frozen=True, slots=True)
class Field:
    """One line of a form: its name, label, value, and the words it may be (any when empty)."""

    name: str
    label: str
    value: str = ""
    words: tuple[str, ...] = ()

    @property
    def begins(self) -> str:
        """What the line says at first: one of its words, where it has some."""
        return self.words[0] if self.words and self.value not in self.words else self.value


class FormScreen(Dialog[Mapping[str, str] | None]):
    """A few lines to fill in; gives what was said, None for nothing."""

    # Tab is taken before what is typed after it, however fast that comes.
    BINDINGS: ClassVar[list[BindingType]] = [
        ("escape", "dismiss(None)", "back"),
        ("ctrl+s", "keep", "keep"),
        Binding("tab", "app.focus_next", "next line", priority=True),
        Binding("shift+tab", "app.focus_previous", "line before", priority=True),
    ]

    def __init__(self, title: str, fields: Sequence[Field], told: str = "") -> None:
        super().__init__()
        self._title, self._fields, self._told = title, fields, told

    def compose(self) -> ComposeResult:
        """Lay the form out, a label and a line each."""
        with Vertical(classes="dialog"):
            yield Static(self._title, classes="dialog-title", markup=False)
            with Grid(classes="form"):
                yield from self._lines(self._fields[:_AT_ONCE])
            yield Static(self._told, id="told", markup=False)
            yield Static("Tab next line, Enter or Ctrl+S keeps, Esc goes back.", classes="dim")

    def on_mount(self) -> None:
        """Lay the other lines out once the first are drawn: all at once hold a key up too long."""
        if self._fields[_AT_ONCE:]:
            self.call_after_refresh(self._lay_the_rest_out)

    async def _lay_the_rest_out(self) -> None:
        for form in self.query(".form").results(Grid):
            await form.mount_all(self._lines(self._fields[_AT_ONCE:]))

    def _lines(self, fields: Sequence[Field]) -> Iterator[Widget]:
        for field in fields:
            yield Label(field.label, markup=False)
            yield self._line(field)

    def _line(self, field: Field) -> Input | Select[str]:
        if not field.words:
            line = Input(field.value, id=field.name)
            # As `compact` does, which styles each line once more before there is anything to see.
            line.add_class("-textual-compact", update=False)
            return line
        words = [(word, word) for word in field.words]
        return Select(words, value=field.begins, allow_blank=False, id=field.name, compact=True)

    def on_input_submitted(self) -> None:
        """Enter in a line keeps the form."""
        self.action_keep()

    def action_keep(self) -> None:
        """Give what the form says."""
        said = {field.name: field.begins for field in self._fields}
        for line in self.query("Input, Select"):
            if isinstance(line, Input | Select) and line.id in said:
                said[line.id] = str(line.value).strip()
        self.dismiss(said)


class HelpScreen(Dialog[None]):
    """Help of a place: its page and its keys."""

    BINDINGS: ClassVar[list[BindingType]] = [
        ("escape,f1,question_mark,q", "dismiss", "back"),
        ("t", "tour", "tour"),
    ]

    def __init__(self, page: str) -> None:
        super().__init__()
        self._page = page

    def compose(self) -> ComposeResult:
        """Lay the page out."""
        with Vertical(classes="dialog help"):
            with VerticalScroll():
                yield Static(id="help-words")
            foot = "Esc goes back; arrows scroll; t a tour on demo data."
            yield Static(foot, classes="dim", markup=False)

    def action_tour(self) -> None:
        """Put help away and begin the tour."""
        self.dismiss()
        self.app.post_message(BeginTour())

    def on_mount(self) -> None:
        """Let the arrows scroll at once; the words are laid out once the frame is drawn."""
        self.query_one(VerticalScroll).focus()
        self.call_after_refresh(self._fill)

    def _fill(self) -> None:
        # Put away before it was drawn, it has no words any more.
        for words in self.query("#help-words").results(Static):
            words.update(drawn(self._page))


class PageScreen(Dialog[None]):
    """A page of 80 columns of text that scrolls; the key that opens a person's closes it.

    There is no scroll bar, which would take a column of the 80: the foot says what is shown.
    """

    BINDINGS: ClassVar[list[BindingType]] = [(f"escape,q,{keys.PERSON_PAGE}", "dismiss", "back")]

    def __init__(self, words: str = "Working his page out …") -> None:
        super().__init__()
        self._words = words

    def compose(self) -> ComposeResult:
        """Lay the page out."""
        with Vertical(classes="sheet"):
            with VerticalScroll():
                yield Static(id="sheet-words", markup=False)
            yield Static(id="sheet-foot", classes="dim", markup=False)

    def on_mount(self) -> None:
        """Let the arrows scroll at once, and the foot say what is shown."""
        lines = self.query_one(VerticalScroll)
        lines.focus()
        self._draw()
        self.watch(lines, "scroll_y", self._say_where)

    def show(self, words: str) -> None:
        """Take the page, unless this screen has been put away by now."""
        self._words = words
        if self.is_mounted and self.is_attached:
            self._draw()

    def _draw(self) -> None:
        self.query_one("#sheet-words", Static).update(headed(self._words))
        self.call_after_refresh(self._say_where)

    def on_resize(self) -> None:
        """Say anew which lines are shown."""
        self.call_after_refresh(self._say_where)

    def _say_where(self) -> None:
        lines = self.query_one(VerticalScroll)
        whole, first, shown = lines.virtual_size.height, round(lines.scroll_y), lines.size.height
        where = f"Lines {first + 1} to {min(first + shown, whole)} of {whole}; arrows scroll, "
        back = f"Esc or {keys.PERSON_PAGE} goes back."
        self.query_one("#sheet-foot", Static).update(where + back if whole > shown else back)


def headed(words: str) -> Text:
    """Return a page with the lines that begin at its margin, its headings, in bold."""
    text = Text(no_wrap=False)
    for line in words.splitlines(keepends=True):
        text.append(line, "" if line.startswith(" ") else "bold")
    return text
