"""The strike zone in characters, as the catcher sees it: readable without colour."""

from collections.abc import Iterator
from typing import Final

from rich.style import Style
from rich.text import Text
from textual.reactive import reactive
from textual.widget import Widget

from sequencer.baseball.zone import CATCHER_COLUMNS, HALF_WIDTH_IN, ROWS
from tui.views import Spot, ZoneView

#: The picture reaches this many zone halves from the middle: the zone and one third around it.
REACH: Final = 5 / 3
_SHADES: Final = " ░▒▓"
_BOX: Final = {"top": "─", "side": "│", "nw": "┌", "ne": "┐", "sw": "└", "se": "┘"}
Grid = list[list[str]]


def column_of(u: float, width: int) -> int:
    """Return the column of a side in zone halves, clamped to the picture."""
    return min(max(int((u + REACH) / (2 * REACH) * width), 0), width - 1)


def row_of(v: float, height: int) -> int:
    """Return the row of a height in zone halves (1 the top edge), clamped to the picture."""
    return min(max(int((REACH - v) / (2 * REACH) * height), 0), height - 1)


def shade_of(count: int, most: int) -> str:
    """Return the shade block of a count: blank for none, then a third of the most each."""
    if not count or not most:
        return _SHADES[0]
    return _SHADES[1 + min(2, (count * 3 - 1) // most)]


def _edges(i: int, size: int) -> range:
    """Return columns (or rows) of the i-th of five bands, a third of the zone each."""
    return range(round(i * size / 5), round((i + 1) * size / 5))


def grid_of(view: ZoneView, width: int, height: int) -> Grid:
    """Draw a zone picture.

    Parameters
    ----------
    view : ZoneView
        What to draw.
    width, height : int
        Characters; at least 5 each.

    Returns
    -------
    list of rows of single characters
    """
    grid = [[" "] * width for _ in range(height)]
    _shade(grid, view)
    _box(grid)
    _write_cells(grid, view)
    for spot in view.spots:
        _put_spot(grid, spot, view)
    return grid


def _shade(grid: Grid, view: ZoneView) -> None:
    most = max((count for count, _ in view.cells.values()), default=0)
    for word, (count, _) in view.cells.items():
        for row, column in _cell_area(word, len(grid[0]), len(grid)):
            grid[row][column] = shade_of(count, most)


def _cell_area(word: str, width: int, height: int) -> Iterator[tuple[int, int]]:
    row, _, column = word.partition("-")
    if row not in ROWS or column not in CATCHER_COLUMNS:
        return
    for r in _edges(ROWS.index(row), height):
        for c in _edges(CATCHER_COLUMNS.index(column), width):
            yield r, c


def _box(grid: Grid) -> None:
    height, width = len(grid), len(grid[0])
    top, bottom = round(height / 5), round(height * 4 / 5) - 1
    left, right = round(width / 5), round(width * 4 / 5) - 1
    for column in range(left, right + 1):
        grid[top][column] = grid[bottom][column] = _BOX["top"]
    for row in range(top, bottom + 1):
        grid[row][left] = grid[row][right] = _BOX["side"]
    for (row, column), corner in {
        (top, left): "nw",
        (top, right): "ne",
        (bottom, left): "sw",
        (bottom, right): "se",
    }.items():
        grid[row][column] = _BOX[corner]


def _write_cells(grid: Grid, view: ZoneView) -> None:
    """Write each cell's words on a row of its own, off the box where there is room."""
    lines = _box_lines(len(grid[0]), len(grid))
    for word, (count, text) in view.cells.items():
        area = list(_cell_area(word, len(grid[0]), len(grid)))
        if not (count or view.noughts) or not text or not area:
            continue
        rows, columns = ({at[i] for at in area} for i in (0, 1))
        free_rows = sorted(rows - lines[0]) or sorted(rows)
        free = sorted(columns - lines[1]) or sorted(columns)
        row = free_rows[(len(free_rows) - 1) // 2]
        said = f" {text} " if len(text) + 2 <= len(free) else text[: len(free)]
        start = (len(free) - len(said)) // 2
        for column, letter in zip(free[start:], said, strict=False):
            grid[row][column] = letter


def _box_lines(width: int, height: int) -> tuple[set[int], set[int]]:
    """Return the rows and the columns the box is drawn on."""
    return (
        {round(height / 5), round(height * 4 / 5) - 1},
        {round(width / 5), round(width * 4 / 5) - 1},
    )


def _put_spot(grid: Grid, spot: Spot, view: ZoneView) -> None:
    half = (view.top_in - view.bottom_in) / 2
    v = (spot.height_in - (view.top_in + view.bottom_in) / 2) / half
    row = row_of(v, len(grid))
    column = column_of(spot.side_in / HALF_WIDTH_IN, len(grid[0]))
    row, column = _free(grid, row, column)
    grid[row][column] = spot.text[:1]


def _free(grid: Grid, row: int, column: int) -> tuple[int, int]:
    """Return the nearest place no other pitch is drawn on, so that none hides another."""
    height, width = len(grid), len(grid[0])
    near = sorted(
        ((r, c) for r in range(height) for c in range(width)),
        key=lambda at: (abs(at[0] - row) * 2 + abs(at[1] - column), at),
    )
    return next(((r, c) for r, c in near if not grid[r][c].isalnum()), (row, column))


class ZonePicture(Widget):
    """A zone picture with the hitter's side beside it and the plate under it."""

    DEFAULT_CSS = "ZonePicture { height: 1fr; min-height: 9; }"
    view: reactive[ZoneView] = reactive(ZoneView)

    def render(self) -> Text:
        """Draw the picture at the widget's size: the hitter's side, the zone, the plate."""
        width, height = max(self.size.width - 4, 10), max(self.size.height - 1, 6)
        grid = grid_of(self.view, width, height)
        latest = max((s.text for s in self.view.spots if s.strong), default="")
        lines = []
        for i, row in enumerate(grid):
            left = self._side_letter(i, height, "R")
            right = self._side_letter(i, height, "L")
            lines.append(f"{left} {''.join(row)} {right}")
        text = Text("\n".join(lines), no_wrap=True, end="")
        if latest:
            text.highlight_regex(rf"(?<![\w]){latest}(?![\w])", Style(reverse=True, bold=True))
        return text.append("\n" + "catcher's view".center(width + 4))

    def _side_letter(self, row: int, height: int, side: str) -> str:
        word = "HITTER" if height >= 8 else side
        start = (height - len(word)) // 2
        if self.view.bats != side or not 0 <= row - start < len(word):
            return " "
        return word[row - start]
