"""The field from home in characters: where a hitter hit the ball, readable without colour."""

from collections.abc import Sequence
from textwrap import wrap
from typing import Final

from rich.text import Text
from textual.reactive import reactive
from textual.widget import Widget

from tui.picture_views import FIELD_PARTS, HEIGHTS, NO_FIELD, SIDES, Field
from tui.shares import FEW, SHADES, edges_in_a_line

#: Of 100 balls that are drawn, how many in a part turn it a shade darker (a chosen scale).
_EDGES: Final = (10, 20, 35, 50)
#: Wider than this the field is no easier to read (a chosen size).
_WIDEST: Final = 44
#: Smallest picture.
_NARROWEST, _LOWEST = 23, 8
#: Columns of the large picture, and of a line under it.
_LARGE, _LINE = 72, 76


class FieldPicture(Widget):
    """Where a hitter's balls in play went; its shades are said beneath."""

    field: reactive[Field] = reactive(NO_FIELD)

    def render(self) -> Text:
        """Draw the field as large as there is room."""
        beneath = legend(self.field)
        width = min(max(self.size.width, _NARROWEST), _WIDEST)
        height = max(self.size.height - beneath.count("\n") - 1, _LOWEST)
        return Text("\n".join((*picture(self.field, width, height), beneath)), no_wrap=True)

    async def on_click(self) -> None:
        """Show it large."""
        await self.run_action("screen.picture")


def large(title: str, sides: Sequence[tuple[Field, Sequence[str]]]) -> str:
    """Return a page of the field from each side he hit from, every part's share beneath."""
    lines = []
    for field, says in sides:
        side = f", from the {SIDES[field.bats]}" if len(sides) > 1 and field.bats in SIDES else ""
        sentence, *shares = says
        drawn = (*picture(field, _LARGE, 11), *legend(field).splitlines())
        said = wrap(sentence, _LINE)
        lines += [f"{title}{side}", *(f"  {line}" for line in (*drawn, *said, *shares)), ""]
    return "\n".join(lines[:-1] or (f"{title}: nothing was thrown to him yet.",))


def shade(field: Field, part: str, how: str) -> int:
    """Return the step of a shade, none to the darkest; none where few are drawn."""
    if field.drawn < FEW:
        return 0
    share = 100 * field.counts.get((part, how), 0) / field.drawn
    return sum(share >= edge for edge in _EDGES)


def picture(field: Field, width: int, height: int) -> tuple[str, ...]:
    """Draw the field: two bands between the foul lines, home below.

    Parameters
    ----------
    field : Field
    width, height : int
        Characters; at least 23 and 8.

    Returns
    -------
    lines, each `width` wide
    """
    bands = height - 3
    far = (bands + 1) // 2
    lines = []
    for y in range(height - 2):
        edge = y == far
        how = HEIGHTS[y > far]
        middle = y == (far // 2 if y < far else far + 1 + (height - 3 - far) // 2)
        room = width - 2 * y - 2
        parts = [
            _part(field, part, how, w, edge=edge, named=middle)
            for part, w in zip(FIELD_PARTS, _thirds(room), strict=True)
        ]
        lines.append(f"{' ' * y}╲{('┴' if edge else '│').join(parts)}╱")
    lines.append(" " * (height - 2) + "╲" + "─" * (width - 2 * (height - 2) - 2) + "╱")
    lines.append("home".center(width))
    return tuple(f"{line:<{width}}" for line in lines)


def _thirds(room: int) -> tuple[int, int, int]:
    side = (room - 2) // 3
    return side, room - 2 - 2 * side, side


def _part(field: Field, part: str, how: str, width: int, *, edge: bool, named: bool) -> str:
    if edge:
        return "─" * width
    drawn = SHADES[shade(field, part, how)] * width
    if not named or not field.drawn:
        return drawn
    number = str(field.counts.get((part, how), 0))
    number = number.center(min(width, len(number) + 2))
    at = (width - len(number)) // 2
    return f"{drawn[:at]}{number}{drawn[at + len(number) :]}"


def legend(field: Field) -> str:
    """Say what the shades are."""
    if field.drawn < FEW:
        return f"air above, ground below\nno shade: under {FEW} balls"
    return f"air above, ground below\n{edges_in_a_line(_EDGES)} in 100"
