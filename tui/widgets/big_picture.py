"""A large zone picture with a cursor that goes from cell to cell."""

from typing import Final

from rich.style import Style
from rich.text import Text
from textual.reactive import reactive

from sequencer.baseball.zone import CATCHER_COLUMNS, ROWS
from tui.picture_views import Picture
from tui.widgets.zone_picture import VIEWED, Grid, ZonePicture, free_of, grid_of

MIDDLE: Final = "belt-middle"
_MOVES: Final = {"up": (-1, 0), "down": (1, 0), "left": (0, -1), "right": (0, 1)}
_MARKS: Final = "▸◂"


def moved(cell: str, way: str) -> str:
    """Return the cell one step up, down, left or right; at the edge of the picture the same."""
    row, _, column = cell.partition("-")
    down, right = _MOVES[way]
    r = min(max(ROWS.index(row) + down, 0), len(ROWS) - 1)
    c = min(max(CATCHER_COLUMNS.index(column) + right, 0), len(CATCHER_COLUMNS) - 1)
    return f"{ROWS[r]}-{CATCHER_COLUMNS[c]}"


class BigPicture(ZonePicture):
    """A picture, counted or smoothed, with a mark on both sides of the cell under the cursor."""

    picture: reactive[Picture | None] = reactive(None)
    smoothed: reactive[bool] = reactive(False)
    cell: reactive[str] = reactive(MIDDLE)

    def watch_picture(self, picture: Picture | None) -> None:
        """Draw another picture."""
        if picture is not None:
            self.view = picture.zone

    def render(self) -> Text:
        """Draw the picture and the cursor."""
        smooth = self.picture.smooth if self.picture and self.smoothed else None
        grid = grid_of(self.view, *self._drawn_size, smooth.rows if smooth else ())
        marks = _mark(grid, self.cell)
        text = self._text(grid, VIEWED)
        across = len(grid[0]) + 5
        for row, column in marks:
            at = row * across + 2 + column
            text.stylize(Style(bold=True, reverse=True), at, at + 1)
        return text


def _mark(grid: Grid, cell: str) -> list[tuple[int, int]]:
    """Put the cursor's marks at both ends of a cell, over no pitch; returns where they are."""
    rows, columns = free_of(cell, len(grid[0]), len(grid))
    if not rows:
        return []
    ends = (columns[0], columns[-1])
    by_middle = sorted(rows, key=lambda row: abs(row - rows[(len(rows) - 1) // 2]))
    clear = [row for row in by_middle if not any(grid[row][end].isalnum() for end in ends)]
    row = (clear or by_middle)[0]
    for end, mark in zip(ends, _MARKS, strict=True):
        grid[row][end] = mark
    return [(row, end) for end in ends]
