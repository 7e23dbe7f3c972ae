"""The dugout: log the game in single keys; everything a bench asks between two pitches."""

from collections.abc import Iterable
from dataclasses import replace
from functools import partial
from textwrap import wrap
from typing import ClassVar

from rich.text import Text
from textual import events
from textual.containers import Horizontal, Vertical
from textual.widget import Widget
from textual.widgets import Static

from sequencer.records.entry import Command, Done, Draft, Fed, feed
from tui.dugout_words import (
    COUNTED,
    FEW_ENTRIES,
    LOW,
    MOST_ROWS,
    counted_words,
    draft_words,
    grammar_key,
    hint_line,
    hint_lines,
    next_mark,
    pending_words,
    runners_line,
    title_words,
)
from tui.messages import AskGamePictures
from tui.screens.choose import ChooseScreen
from tui.screens.dugout_mending import MendingScreen
from tui.screens.next_three import NextThreeScreen
from tui.views import DugoutView
from tui.widgets.entry_line import EntryLine
from tui.widgets.log_lines import LogLines
from tui.widgets.scoreboard import Scoreboard
from tui.widgets.zone_picture import ZonePicture

#: Commands that change what is logged already, wherever the next pitch goes.
_OF_WHAT_IS_LOGGED = frozenset({"undo", "redo", "amend", "move"})
_NO_GAME = "No game is open: F6 shows the games and makes a new one."


class DugoutScreen(MendingScreen):
    """The live log. Keys go through the entry grammar; a refused pitch keeps its draft."""

    PLACE: ClassVar[str] = "dugout"
    AUTO_FOCUS = ""

    def body(self) -> Iterable[Widget]:
        """Lay out the board, the zone, the advice, the log and the line being typed."""
        with Horizontal(id="field"):
            with Vertical(id="standing"):
                yield Scoreboard(id="board")
                yield Static(id="counted", markup=False)
            yield ZonePicture(id="zone")
            yield Static(id="advice", markup=False)
        yield Static(id="rate", markup=False)
        yield LogLines()
        yield Static(id="draft", markup=False)
        line = EntryLine(placeholder="runner 1-2 steal   Enter logs, Esc goes back", id="line")
        line.compact, line.display = True, False
        yield line

    def hint(self, width: int) -> str:
        """Return the two lines of keys, or one where the log has more to show than fits."""
        keymap = self.front.keymap
        entries = self._view.entries if isinstance(self._view, DugoutView) else ()
        if self.app.size.height < LOW and len(entries) > FEW_ENTRIES:
            return hint_line(keymap, width)
        return "\n".join(hint_lines(keymap, width))

    # what is shown

    def draw(self) -> None:
        """Draw the game as it stands."""
        view = self._view
        if not isinstance(view, DugoutView):
            self.title_line("Dugout")
            self.say(_NO_GAME)
            return
        self.title_line(title_words(view))
        self.query_one(Scoreboard).show(view)
        self.query_one(ZonePicture).view = view.zone
        counted = counted_words(view)
        self.query_one("#counted", Static).update(Text(counted))
        rows = len(wrap(counted, COUNTED))
        self.query_one("#field").set_class(rows == MOST_ROWS - 1, "-long")
        self.query_one("#field").set_class(rows >= MOST_ROWS, "-longer")
        self._draw_entries(view)
        self.query_one("#hint").refresh(layout=True)
        self._draw_draft()
        self._draw_advice()

    def show(self, view: DugoutView | None) -> None:
        """Take a new snapshot; a call shown for an older one is no longer the call."""
        known = self._view
        if view is None or known is None or view.stamp != known.stamp:
            self._forget_call()
        if view is not None:
            bats = self.draft.bats if self._before else view.bats
            self.draft = replace(self.draft, signs=view.signs, bats=bats)
        if view is not None and (known is None or known.game_id != view.game_id):
            chosen = view.advice_hidden
            kept = view.advising != "allowed" if chosen is None else chosen
            self.score_only, self._tonight = kept or view.advising == "no", ()
            self._marked = self._before = 0
        super().show(view)
        self._ask()

    def _draw_draft(self) -> None:
        words = draft_words(self.draft, self.draft.bats)
        view = self._view
        line = Text(f"before {self._before} > " if self._before else "> ").append(words, "bold")
        if not words and view:
            line.append(f"signs: {view.signs_shown}", style="italic")
        self.query_one("#draft", Static).update(line, layout=False)
        problem = "; ".join(view.problems[-1:]) if view else ""
        over = view.over if view else _NO_GAME
        pending = pending_words(self.draft, self.front.keymap)
        strip = runners_line(view, self.front.keymap) if view else ""
        standing = " ".join(filter(None, (strip, over or problem)))
        self.say(self._told or self.draft.note or pending or standing)
        self.query_one("#hint").display = not pending

    def on_resize(self) -> None:
        """Show as much of the advice as fits."""
        self.call_after_refresh(self._draw_advice)

    # what is typed

    async def on_key(self, event: events.Key) -> None:
        """Feed a key to the grammar; the next one waits until this one is saved."""
        if self._line.display:
            await self._key_of_line(event)
            return
        if event.key in ("up", "down") and self._view:
            event.stop()
            event.prevent_default()
            self._mark(next_mark(self._view.marks, self._marked, event.key))
            return
        if event.key == "delete" and self._marked and not self._line.display:
            event.stop()
            await self._remove_marked()
            return
        key = grammar_key(event)
        if not key or self._view is None:
            return
        event.stop()
        event.prevent_default()
        if key == "enter" and self._marked and self.draft.empty:
            await self._correct_marked()
            return
        if key == "escape":
            self._mark(0)
        await self.take_key(key)

    async def _key_of_line(self, event: events.Key) -> None:
        """Give the open line a key. It never has the focus: keys wait here, in one row."""
        if event.key == "enter":
            event.stop()
            event.prevent_default()
            await self._say_line(self._line.value)
        elif self._line.take(event):
            event.stop()
            event.prevent_default()

    async def take_key(self, key: str) -> None:
        """Take one key of the grammar."""
        self._told = ""
        await self._take(feed(self.draft, key, self.front.keymap))
        self._draw_draft()

    async def _take(self, fed: Fed) -> None:
        if isinstance(fed, Draft):
            self.draft = fed
        elif isinstance(fed, Command):
            self.draft = fed.draft
            await self._carry_out(fed)
        else:
            await self._log(fed)

    async def _log(self, done: Done) -> None:
        keep, self.draft = self.draft, self.draft.cleared()
        if self._before:
            missed = done.pitch.model_copy(update={"advice": ""})
            first = done.first and await self.front.carry_out(done.first, self._before)
            refused = first or await self.front.insert(self._before, missed)
        else:
            refused = await self.front.save(done.pitch, done.first)
        if refused:
            now = self.draft
            self.draft = replace(keep, shown=now.shown, signs=now.signs, bats=now.bats)
            self._told = f"Not logged: {refused}"
            return
        put_in, self._before = self._before, 0
        if self._marked:
            self._mark(0)
        self._told = f"Put in as pitch {put_in}." if put_in else done.note

    async def _carry_out(self, command: Command) -> None:
        if command.name == "line":
            self._open_line(command.said.get("begun", ""))
        elif command.name == "score only":
            await self._hide_advice(not self.score_only)
        elif command.name == "insert":
            self._put_in_before()
        elif command.name == "next three":
            await self._show_next_three()
        elif command.name == "draw":
            self._draw_call()
        elif command.name in ("pitcher", "catcher"):
            await self._choose(command.name)
        else:
            if command.name == "amend" and self._marked < 0:
                self._told = "only a pitch can be added to: Enter corrects what is marked"
                return
            if command.name == "amend" and self._marked:
                command = replace(command, said={**command.said, "n": self._marked})
            await self._put(command)

    async def _put(self, command: Command) -> bool:
        """Carry out a command; an event goes where the next pitch would. Returns whether it did."""
        before = self._before if command.name not in _OF_WHAT_IS_LOGGED else 0
        refused = await self.front.carry_out(command, before)
        self._told = f"Not done: {refused}" if refused else ""
        if before and not refused:
            self._before = 0
            self._mark(0)
            self._told = f"Put in before pitch {before}."
        return not refused

    async def _show_next_three(self) -> None:
        """Show who hits next over the dugout; a key of a result is still a pitch."""
        words = await self.front.next_three()
        if words:
            keymap = self.front.keymap
            page = NextThreeScreen(words, keymap.key("command", "next three"), self._results)
            self.app.push_screen(page, self._handed_back)

    def action_picture(self, cell: str = "") -> None:
        """Show the pitches of this at-bat and of tonight large."""
        if self._view is None:
            self.say(_NO_GAME)
        else:
            self.post_message(AskGamePictures(self._results, self._handed_back, cell))

    @property
    def _results(self) -> frozenset[str]:
        acts = self.front.keymap.acts.items()
        return frozenset(key for key, act in acts if act.kind == "result")

    async def _handed_back(self, key: str | None) -> None:
        if key:
            await self.take_key(key)

    async def _choose(self, what: str) -> None:
        """Choose who pitches or catches for us; a key of a result is still a pitch."""
        choices = await self.front.pitchers()
        view = self._view
        chosen = {"pitcher": view.pitcher_id, "catcher": view.catcher_id}[what] if view else ""
        does = {"pitcher": "pitches", "catcher": "catches"}[what]
        title = f"Who {does} now? (a new name: line, {what} NAME)"
        dialog = ChooseScreen(title, choices, chosen, hand_back=self._results)
        self.app.push_screen(dialog, partial(self._chosen, what))

    async def _chosen(self, what: str, said: str | None) -> None:
        if said and said.startswith("key:"):
            await self.take_key(said[4:])
        elif said:
            await self._put(Command(what, {"who": said}, self.draft))
            self._draw_draft()
