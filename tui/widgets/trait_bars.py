"""A hitter's traits as bars in characters, as wide as there is room: readable without colour."""

from collections.abc import Sequence
from typing import Final

from textual.widget import Widget
from textual.widgets import Static

from sequencer.reports.lines import bar
from tui.views import TraitBar

#: Columns of the whole words and of the short ones, a blank after them.
WHOLE: Final = 39
SHORT: Final = 17
#: Columns for a bar: at least seven, with the end of the word over it; at most so many.
NARROWEST: Final = 8
_WIDEST: Final = 25


def bar_of(mean: float, sd: float, width: int) -> str:
    """Return a trait's bar: a dot where he is believed to be, dashes for how unsure that is."""
    return bar(mean, sd, width, "─│┼●")


def bar_lines(bars: Sequence[TraitBar], alike: int, width: int) -> tuple[str, ...]:
    """Return the bars under their head, and how many traits have none.

    Parameters
    ----------
    bars : sequence of TraitBar
    alike : int
        How many traits do not differ from the usual hitter's.
    width : int
        Columns there are; below `SHORT` + `NARROWEST` the bars are cut off.
    """
    if not bars:
        return (f"All {alike} traits as the usual hitter, as far as is known.",) if alike else ()
    margin = WHOLE if width >= WHOLE + NARROWEST else SHORT
    room = min(max(width - margin, NARROWEST), _WIDEST)
    long = room - 1 + room % 2
    lines = [
        f"{one.says if margin == WHOLE else one.short:<{margin}}{bar_of(one.mean, one.sd, long)}"
        for one in bars
    ]
    head = f"{'Traits':<{margin + long // 2 - 4}}less│more"
    rest = (f"{alike} others as the usual hitter, as far as is known.",) if alike else ()
    return (head, *lines, *rest)


class TraitBars(Static):
    """The bars of one hitter, drawn again when there is more or less room."""

    def __init__(self, *, id: str) -> None:  # noqa: A002 - the name Textual gives it
        super().__init__(id=id, markup=False)
        self._bars: tuple[TraitBar, ...] = ()
        self._alike = 0

    def show(self, bars: tuple[TraitBar, ...] = (), alike: int = 0) -> None:
        """Take a hitter's traits and draw them."""
        self._bars, self._alike = bars, alike
        self.draw()

    def draw(self) -> None:
        """Draw the bars as wide as what holds them, a column left for its scroll bar."""
        holder = self.parent
        width = holder.size.width - 1 if isinstance(holder, Widget) else 0
        self.update("\n".join(bar_lines(self._bars, self._alike, width)))
