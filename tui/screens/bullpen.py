"""The bullpen: chart a set of throws, the call before each and where it went."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any, ClassVar, Final

from rich.text import Text
from textual import events
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.message import Message
from textual.widget import Widget
from textual.widgets import OptionList, Static

from tui import keys
from tui.dugout_words import call_box, grammar_key
from tui.messages import AskPenPictures, ChoosePitcher
from tui.screens.choose import ChooseScreen
from tui.screens.place import PlaceScreen, fill
from tui.throw_draft import (
    FOLLOWS,
    ThrowDraft,
    Work,
    asked_words,
    draft_words,
    feed_throw,
    said_place,
)
from tui.views import BullpenView, Choice
from tui.widgets.choices import Choices
from tui.widgets.zone_picture import ZonePicture

_NOBODY: Final = "Nobody to throw yet: F2 scouting adds our pitchers, F6 a game."
_NEW: Final = "new"


class ThrowPicture(ZonePicture):
    """A zone picture on which a click says where a throw went."""

    class Placed(Message):
        """A cell was clicked, in the catcher's frame."""

        def __init__(self, cell: str) -> None:
            super().__init__()
            self.cell = cell

    def on_click(self, event: events.Click) -> None:
        """Say which cell was clicked; beside the picture nothing."""
        event.prevent_default()
        cell = self.cell_under(event)
        if cell:
            self.post_message(self.Placed(cell))


class BullpenScreen(PlaceScreen):
    """One bullpen of one pitcher; every throw is in the book before it is shown."""

    PLACE: ClassVar[str] = "bullpen"
    BINDINGS: ClassVar[list[BindingType]] = [*keys.bindings("bullpen")]

    def __init__(self) -> None:
        super().__init__()
        self.draft = ThrowDraft()
        self._told = ""

    def body(self) -> Iterable[Widget]:
        """Lay out the zone, what is asked for, the set list, the throws, the line being typed."""
        with Horizontal(id="pen"):
            yield ThrowPicture(id="zone")
            with Vertical(id="asked"):
                yield Static(id="call", markup=False)
                yield Static(id="doing", markup=False)
                yield Static(id="steps", markup=False)
        yield Static(id="arm", markup=False)
        yield Choices(id="throws", markup=False)
        yield Static(id="draft", markup=False)

    def hint(self, width: int) -> str:
        """Return the lines of keys, as the map in use has them."""
        keymap = self.front.keymap
        target, amend, tell = (keymap.key("prefix", p) for p in ("target", "amend", "tell"))
        ball, strike = keymap.key("result", "ball"), keymap.key("result", "called strike")
        undo = keymap.key("command", "undo")
        return keys.lines_of(
            f"place then {strike} strike {ball} ball  space by the place  1-9 type  "
            f"{target} target  {tell} tell\n"
            f"{undo} undo  {amend} mend  {keys.hint('bullpen')}",
            width,
        )

    # what is shown

    def show(self, view: BullpenView | None) -> None:
        """Take a new snapshot."""
        super().show(view)

    def draw(self) -> None:
        """Draw the bullpen as it stands."""
        view = self._view
        there = isinstance(view, BullpenView)
        for name in ("#pen", "#arm", "#throws", "#draft"):
            self.query_one(name).visible = there
        if not isinstance(view, BullpenView):
            self.title_line("Bullpen")
            self.say(_NOBODY)
            return
        throw = f"set {view.set_no}, throw {view.throw_no} of {view.set_size}"
        self.title_line(f"Bullpen: {view.pitcher}   {view.date}   {throw}")
        self.query_one("#zone", ThrowPicture).view = view.zone
        self.query_one("#doing", Static).update(Text(view.doing))
        self.query_one("#steps", Static).update(Text("\n".join(view.steps), no_wrap=True))
        self.query_one("#arm", Static).update(Text(" ".join(view.counted)))
        throws = self.query_one("#throws", OptionList)
        fill(throws, view.throws)
        throws.focus()
        self.query_one("#hint").refresh(layout=True)
        self._draw_draft(view)

    def _draw_draft(self, view: BullpenView) -> None:
        said = self.draft.said
        pitch = said.get("called", said.get("pitch", view.pitch))
        words = asked_words(pitch, said.get("target", view.target), view.bats)
        width = max(self.query_one("#call", Static).content_size.width, 20)
        self.query_one("#call", Static).update(Text(call_box(words, min(width, 30))))
        typed = draft_words(self.draft, view.bats)
        line = Text("> ").append(typed, "bold")
        if not typed:
            watched = f"   watching {view.watched}" if view.watched else ""
            line.append(f"signs: {view.signs_shown}{watched}", "italic")
        self.query_one("#draft", Static).update(line)
        no_target = "" if view.target or "target" in said else self._how_to_ask()
        self.say(self._told or self.draft.note or FOLLOWS.get(self.draft.pending, "") or no_target)

    def _how_to_ask(self) -> str:
        target = self.front.keymap.key("prefix", "target")
        return f"Ask for a place first ({target} and a place): without it no miss can be measured."

    # what is typed

    async def on_key(self, event: events.Key) -> None:
        """Take a key of a throw; every other key is a binding's."""
        view, key = self._view, grammar_key(event)
        if not key or not isinstance(view, BullpenView):
            return
        fed = feed_throw(self.draft, key, self.front.keymap, view.signs)
        if fed is not None:
            event.stop()
            event.prevent_default()
            await self._take(fed, view)

    async def on_throw_picture_placed(self, event: ThrowPicture.Placed) -> None:
        """Take a place that was clicked."""
        if isinstance(self._view, BullpenView):
            await self._take(said_place(self.draft, event.cell), self._view)

    async def _take(self, fed: ThrowDraft | Work, view: BullpenView) -> None:
        self._told = ""
        if isinstance(fed, ThrowDraft):
            self.draft = fed
            self._draw_draft(view)
            return
        args: Mapping[str, tuple[Any, ...]] = {
            "throw": (fed.said, (view.pitch, view.target)),
            "correct": (self._marked(view), fed.said),
            "watch": (fed.said.get("tell", ""),),
        }
        keep, self.draft = self.draft, ThrowDraft()
        if fed.name == "watch":
            self.draft = replace(keep, pending="")
        refused = await self.front.at_bullpen(fed.name, *args.get(fed.name, ()))
        if refused:
            self.draft, self._told = keep, f"Not kept: {refused}"
            self._draw_draft(view)

    def _marked(self, view: BullpenView) -> int:
        """Return the place of the throw that is marked in the list, -1 for none."""
        at = self.query_one("#throws", OptionList).highlighted
        return int(view.throws[at].id) if at is not None and at < len(view.throws) else -1

    # commands

    async def _do(self, work: str, *args: Any) -> None:
        if isinstance(self._view, BullpenView):
            self._told = await self.front.at_bullpen(work, *args)
            self._draw_draft(self._view)

    def action_picture(self, cell: str = "") -> None:
        """Show his throws about each target large, those of this bullpen first."""
        view = self._view
        if isinstance(view, BullpenView):
            self.post_message(AskPenPictures(view.pitcher_id, view.pen_id, cell))
        else:
            self.say(_NOBODY)

    async def action_new_set(self) -> None:
        """Begin the next set, once something is thrown in this one."""
        if isinstance(self._view, BullpenView) and self._view.throw_no == 1:
            self._told = f"Set {self._view.set_no} is the next set: nothing is thrown in it yet."
            self._draw_draft(self._view)
        else:
            await self._do("new_set")

    async def action_size(self) -> None:
        """Let sets have another size."""
        await self._do("next_size")

    async def action_side(self) -> None:
        """Let the hitter stand on the other side."""
        await self._do("other_side")

    async def action_pitcher(self) -> None:
        """Choose who throws."""
        chosen = self._view.pitcher_id if isinstance(self._view, BullpenView) else ""
        choices = await self.front.pitchers()
        self.app.push_screen(ChooseScreen("Who throws?", choices, chosen), self._pitcher_chosen)

    def _pitcher_chosen(self, pitcher: str | None) -> None:
        if pitcher:
            self.draft, self._told = ThrowDraft(), ""
            self.post_message(ChoosePitcher("bullpen", pitcher))

    def action_days(self) -> None:
        """Choose one of his bullpens, by date."""
        view = self._view
        if isinstance(view, BullpenView):
            choices = (*view.days, Choice(_NEW, "a new bullpen today"))
            dialog = ChooseScreen(f"Bullpens of {view.pitcher}", choices, view.pen_id)
            self.app.push_screen(dialog, self._day_chosen)

    async def _day_chosen(self, pen: str | None) -> None:
        if pen:
            self.draft = ThrowDraft()
            await self._do("open", "" if pen == _NEW else pen)
