"""Mending in the dugout: an entry of the log marked by the arrows, and an entry typed as a line."""

from dataclasses import replace

from textual import events

from sequencer.records.entry import Command
from tui.dugout_lines import OF_THE_SCREEN
from tui.dugout_words import marked_words, pitch_after
from tui.screens.dugout_call import CallScreen
from tui.views import DugoutView
from tui.widgets.entry_line import EntryLine, pasted
from tui.widgets.log_lines import LogLines


class MendingScreen(CallScreen):
    """What of the dugout puts right what was logged, and takes entries as lines."""

    def __init__(self) -> None:
        super().__init__()
        #: What is marked in the log (a pitch, or the negative row of an event), and the pitch that
        #: the next entry typed goes in before; 0 is none.
        self._marked = self._before = 0

    def _draw_draft(self) -> None:
        """Show what is typed so far."""
        raise NotImplementedError

    async def _carry_out(self, command: Command) -> None:
        """Carry out a command of the entry grammar."""
        raise NotImplementedError

    # an entry that is marked

    def _draw_entries(self, view: DugoutView) -> None:
        self.query_one(LogLines).show(view.entries, view.marks, self._marked)

    def _mark(self, n: int) -> None:
        """Mark an entry of the log: what amends the last pitch amends it; 0 marks none."""
        self._marked = n
        marks = self._view.marks if isinstance(self._view, DugoutView) else ()
        self._before = pitch_after(marks, n) if self._before and n else 0
        if isinstance(self._view, DugoutView):
            self._draw_entries(self._view)
        told = marked_words(n, self.front.keymap)
        self._told = told
        self._draw_draft()

    async def _correct_marked(self) -> None:
        """Open a line that corrects the marked pitch, or says the marked event anew."""
        if self._marked > 0:
            self._open_line(f"correct {self._marked} ")
            return
        address, line = await self.front.address(-self._marked)
        if address:
            self._open_line(f"replace {address} with {line}")

    async def _remove_marked(self) -> None:
        """Take the marked entry out of the game: it was logged twice, or never happened."""
        marked = self._marked
        where = str(marked) if marked > 0 else (await self.front.address(-marked))[0]
        answer = await self.front.say_line(f"remove {where}")
        self._mark(0)
        undo = self.front.keymap.key("command", "undo")
        what = f"Pitch {marked}" if marked > 0 else f"The {where.partition(' ')[2]}"
        out = f"{what} is taken out; {undo} brings it back."
        self._told = f"Not done: {answer[3:]}" if answer.startswith("no ") else out
        self._draw_draft()

    def _put_in_before(self) -> None:
        """Take the next pitch typed for one missed before the marked one, or before the last."""
        before = pitch_after(self._view.marks, self._marked) if self._view else 0
        if not before:
            none = "no pitch came after it" if self._marked else "no pitch is logged yet"
            self._told = f"{none}: type it as the next one"
            return
        self._before = before
        self._mark(before)
        sides = dict(self._view.marks) if self._view else {}
        self.draft = replace(self.draft, bats=sides.get(self._before, ""))
        self._told = f"the next entry goes in before pitch {self._before}; Esc leaves it"

    # an entry typed as a line

    def on_paste(self, event: events.Paste) -> None:
        """Put one pasted line up to be confirmed with Enter; several are refused."""
        event.stop()
        if self._view is None:
            return
        line, why = pasted(event.text)
        if why:
            self.say(why)
        elif self._line.display:
            self._line.insert_text_at_cursor(line)
        else:
            self._open_line(line)

    @property
    def _line(self) -> EntryLine:
        return self.query_one("#line", EntryLine)

    def _open_line(self, begun: str = "") -> None:
        self._line.begin(begun)
        self.query_one("#draft").display = False

    def _close_line(self) -> None:
        self._line.display = False
        self.query_one("#draft").display = True

    async def _say_line(self, said: str) -> None:
        """Carry the line out; a refused one stays to be put right."""
        of_screen = OF_THE_SCREEN.get(" ".join(said.lower().split()))
        if of_screen:
            self._close_line()
            await self._screen_line(of_screen)
            self._draw_draft()
            return
        shown = self.draft.shown
        answer = await self.front.say_line(said, shown.words if shown else "")
        if answer.startswith("no "):
            self.say(f"Not done: {answer[3:]}")
            return
        self._close_line()
        self._told = "" if answer.startswith("ok") else answer
        self._draw_draft()

    async def _screen_line(self, said: str) -> None:
        self._told = ""
        if said.startswith("advice"):
            await self._hide_advice(said == "advice off")
        else:
            await self._carry_out(Command(said, {}, self.draft))

    def key_escape(self) -> None:
        """Close the line being typed."""
        if self._line.display:
            self._close_line()
            self._draw_draft()
