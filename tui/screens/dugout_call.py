"""The call in the dugout: the mix, the call drawn from it, what stands beside it, or none."""

from dataclasses import replace

from rich.text import Text
from textual.widgets import Static

from sequencer.records.entry import Draft, Shown
from tui.dugout_words import ROWS, Drawn, advice_words
from tui.messages import AskAdvice
from tui.screens.place import PlaceScreen
from tui.views import AdviceView, WaysView

_BARRED = "the rules of this game do not allow electronic advice in the dugout"


class CallScreen(PlaceScreen):
    """What of the dugout is about the next call; an answer for an older pitch is dropped."""

    def __init__(self) -> None:
        super().__init__()
        self.draft = Draft()
        self._told = ""
        self._advice: AdviceView | None = None
        self._asked = False
        self._drawn: Drawn | None = None
        self._ways: WaysView | None = None
        self._tonight: tuple[str, ...] = ()
        self._progress = ""
        self.score_only = False

    def advise(self, advice: AdviceView) -> None:
        """Take the next call, unless the game has moved on since it was asked for."""
        if self.score_only or self._view is None or advice.stamp != self._view.stamp:
            return
        self._advice = advice
        if self._drawn and self._drawn.rules != advice.rules:
            self._drawn, self.draft = None, replace(self.draft, shown=None)
        told, self._progress = (advice.guess_rate, advice.zone), ""
        self._tonight = tuple(line for line in told if line) or self._tonight
        if self._asked:
            self._show_call()
        self._draw_advice()

    @property
    def complete(self) -> bool:
        """Whether the call and what stands beside it are on the screen."""
        return self._ways is not None

    def show_ways(self, ways: WaysView) -> None:
        """Take what stands beside the call, unless the game has moved on."""
        if not self.score_only and self._view is not None and ways.stamp == self._view.stamp:
            self._ways = ways
            self._draw_advice()

    def _forget_call(self) -> None:
        """Take the call off the screen: another pitch is next."""
        self._advice, self._drawn, self._ways, self._asked = None, None, None, False
        self.draft = replace(self.draft, shown=None)

    def _draw_call(self) -> None:
        """Show the call drawn for this pitch, as soon as the pitch before it is learnt."""
        if self._view is not None and self._view.advising == "no":
            self._told = _BARRED
        elif self.score_only:
            shows = self.front.keymap.key("command", "score only")
            self._told = f"advice is hidden: {shows} shows it"
        elif self._view is not None and not self._view.we_pitch:
            self._told = "we hit this half"
        else:
            self._asked = True
            self._show_call()
            self._draw_advice()

    def _show_call(self) -> None:
        """Show the call; once shown it stands until the next entry."""
        advice = self._advice
        if self._drawn is None and advice and advice.pitch and not advice.behind:
            self._drawn = Drawn(advice.words, advice.why, advice.rules)
            shown = Shown(advice.pitch, advice.target, advice.words)
            self.draft = replace(self.draft, shown=shown)

    def reading(self, words: str) -> None:
        """Say how far reading the book for the first call is, until there is one."""
        if self.is_running and not self.score_only:
            self._progress = words
            self._draw_advice()

    def no_advice(self, stamp: int, why: str) -> None:
        """Say why there is no advice now."""
        if self._view is not None and stamp == self._view.stamp:
            self._advice, self._progress = AdviceView(stamp, note=why), ""
            self._draw_advice()

    def ask_anew(self) -> None:
        """Ask for the call again: the coach's rules are others."""
        self._forget_call()
        self._draw_advice()
        self._ask()

    def _ask(self) -> None:
        if self._view is not None and not self.score_only and self._view.we_pitch:
            self.post_message(AskAdvice(self._view.stamp))

    def _draw_advice(self) -> None:
        view, panel = self._view, self.query_one("#advice", Static)
        size = panel.content_size
        words = (
            advice_words(
                view,
                self._advice,
                self.front.keymap,
                score_only=self.score_only,
                drawn=self._drawn,
                ways=self._ways,
                progress=self._progress,
                size=(max(size.width, 16), max(size.height, ROWS)),
            )
            if view
            else ""
        )
        shown = Text(words)
        shown.highlight_regex(r"(?<=│).+(?=│)", "bold reverse")
        panel.update(shown, layout=False)
        hidden = self.score_only or view is None or not view.we_pitch
        rate = Text("\n".join(() if hidden else self._tonight), no_wrap=True, overflow="ellipsis")
        line = self.query_one("#rate", Static)
        line.update(rate)
        line.display = bool(rate.plain)

    async def _hide_advice(self, hide: bool) -> None:
        """Hide or show advice, also when the app starts again; rules against it keep it hidden."""
        if self._view is not None and self._view.advising == "no":
            self._told = _BARRED
            return
        self.score_only = hide
        self._forget_call()
        self._ask()
        self._draw_advice()
        await self.front.hide_advice(hide)
