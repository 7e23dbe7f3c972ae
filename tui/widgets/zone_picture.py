"""The strike zone in characters, as the catcher sees it: readable without colour."""

from collections.abc import Iterator, Sequence
from typing import Final

from rich.style import Style
from rich.text import Text
from textual import events
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget

from sequencer.baseball.zone import CATCHER_COLUMNS, HALF_WIDTH_IN, ROWS
from tui.picture_views import Spot, ZoneView

#: The picture reaches this many zone halves from the middle: the zone and one third around it.
REACH: Final = 5 / 3
#: The steps of a shade, none to the darkest.
SHADES: Final = " ░▒▓█"
_BOX: Final = {"top": "─", "side": "│", "nw": "┌", "ne": "┐", "sw": "└", "se": "┘"}
VIEWED: Final = "catcher's view"
Grid = list[list[str]]


def column_of(u: float, width: int) -> int:
    """Return the column of a side in zone halves, clamped to the picture."""
    return min(max(int((u + REACH) / (2 * REACH) * width), 0), width - 1)


def row_of(v: float, height: int) -> int:
    """Return the row of a height in zone halves (1 the top edge), clamped to the picture."""
    return min(max(int((REACH - v) / (2 * REACH) * height), 0), height - 1)


def _edges(i: int, size: int) -> range:
    """Return columns (or rows) of the i-th of five bands, a third of the zone each."""
    return range(round(i * size / 5), round((i + 1) * size / 5))


def grid_of(view: ZoneView, width: int, height: int, smooth: Sequence[str] = ()) -> Grid:
    """Draw a zone picture.

    Parameters
    ----------
    view : ZoneView
        What to draw.
    width, height : int
        Characters; at least 5 each.
    smooth : sequence of str
        Rows of steps of shades on a finer grid, drawn instead of the cells; empty draws the cells.

    Returns
    -------
    list of rows of single characters
    """
    grid = [[" "] * width for _ in range(height)]
    if smooth:
        _shade_smooth(grid, smooth)
    else:
        _shade(grid, view)
    _box(grid)
    if not smooth:
        _write_cells(grid, view)
    for row, column in _inside(grid, view):
        grid[row][column] = "·"
    for spot in view.spots:
        _put_spot(grid, spot, view)
    return grid


def _shade(grid: Grid, view: ZoneView) -> None:
    for word, (step, _) in view.cells.items():
        for row, column in _cell_area(word, len(grid[0]), len(grid)):
            grid[row][column] = SHADES[step]


def _shade_smooth(grid: Grid, smooth: Sequence[str]) -> None:
    height, width = len(grid), len(grid[0])
    for row in range(height):
        steps = smooth[(2 * row + 1) * len(smooth) // (2 * height)]
        for column in range(width):
            step = steps[(2 * column + 1) * len(steps) // (2 * width)]
            grid[row][column] = SHADES[int(step)]


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
    for word, (_, text) in view.cells.items():
        rows, free = free_of(word, len(grid[0]), len(grid))
        if not text or not rows:
            continue
        row = rows[(len(rows) - 1) // 2]
        said = f" {text} " if len(text) + 2 <= len(free) else text[: len(free)]
        start = (len(free) - len(said)) // 2
        for column, letter in zip(free[start:], said, strict=False):
            grid[row][column] = letter


def free_of(word: str, width: int, height: int) -> tuple[list[int], list[int]]:
    """Return the rows and the columns of a cell that the box leaves free, none for no cell."""
    area = list(_cell_area(word, width, height))
    rows, columns = ({at[i] for at in area} for i in (0, 1))
    lines = _box_lines(width, height)
    return sorted(rows - lines[0]) or sorted(rows), sorted(columns - lines[1]) or sorted(columns)


def _box_lines(width: int, height: int) -> tuple[set[int], set[int]]:
    """Return the rows and the columns the box is drawn on."""
    return (
        {round(height / 5), round(height * 4 / 5) - 1},
        {round(width / 5), round(width * 4 / 5) - 1},
    )


def _inside(grid: Grid, view: ZoneView) -> Iterator[tuple[int, int]]:
    """Yield the characters of the outline; what lies off the picture is left out."""
    reach_in = (view.top_in - view.bottom_in) / 2 * REACH
    middle = (view.top_in + view.bottom_in) / 2
    for side_in, height_in in view.outline:
        if abs(side_in) < REACH * HALF_WIDTH_IN and abs(height_in - middle) < reach_in:
            yield _at(grid, side_in, height_in, view)


def _put_spot(grid: Grid, spot: Spot, view: ZoneView) -> None:
    row, column = _free(grid, *_at(grid, spot.side_in, spot.height_in, view))
    grid[row][column] = spot.text[:1]


def _at(grid: Grid, side_in: float, height_in: float, view: ZoneView) -> tuple[int, int]:
    """Return the row and the column of a place in catcher's inches."""
    half = (view.top_in - view.bottom_in) / 2
    v = (height_in - (view.top_in + view.bottom_in) / 2) / half
    return row_of(v, len(grid)), column_of(side_in / HALF_WIDTH_IN, len(grid[0]))


def _free(grid: Grid, row: int, column: int) -> tuple[int, int]:
    """Return the nearest place no other pitch is drawn on, so that none hides another."""
    height, width = len(grid), len(grid[0])
    for far in range(2 * height + width):
        for r in range(max(0, row - far // 2), min(height, row + far // 2 + 1)):
            aside = far - 2 * abs(r - row)
            for c in dict.fromkeys((column - aside, column + aside)):
                if 0 <= c < width and not grid[r][c].isalnum():
                    return r, c
    return row, column


def cell_at(x: int, y: int, width: int, height: int) -> str:
    """Return the cell drawn at a character of a picture of this size, "" beside it."""
    if not (0 <= x < width and 0 <= y < height):
        return ""
    column = next(i for i in range(5) if x < round((i + 1) * width / 5))
    row = next(i for i in range(5) if y < round((i + 1) * height / 5))
    return f"{ROWS[row]}-{CATCHER_COLUMNS[column]}"


class ZonePicture(Widget):
    """A zone picture with the hitter's side beside it and the plate under it."""

    DEFAULT_CSS = "ZonePicture { height: 1fr; min-height: 9; }"
    view: reactive[ZoneView] = reactive(ZoneView)

    class Clicked(Message):
        """A cell was clicked, in the catcher's frame; "" beside the picture."""

        def __init__(self, cell: str) -> None:
            super().__init__()
            self.cell = cell

    def on_click(self, event: events.Click) -> None:
        """Say which cell was clicked."""
        self.post_message(self.Clicked(self.cell_under(event)))

    def cell_under(self, event: events.Click) -> str:
        """Return the cell at a click, "" beside the picture."""
        width, height = self._drawn_size
        return cell_at(event.x - 2, event.y, width, height)

    @property
    def _drawn_size(self) -> tuple[int, int]:
        """Columns and rows of the picture itself."""
        return max(self.size.width - 4, 10), max(self.size.height - 1, 6)

    def render(self) -> Text:
        """Draw the picture at the widget's size: the hitter's side, the zone, what shades mean."""
        return self._text(grid_of(self.view, *self._drawn_size), self.view.legend or VIEWED)

    def _text(self, grid: Grid, under: str) -> Text:
        width, height = len(grid[0]), len(grid)
        latest = max((s.text for s in self.view.spots if s.strong), default="")
        lines = []
        for i, row in enumerate(grid):
            left = self._side_letter(i, height, "R")
            right = self._side_letter(i, height, "L")
            lines.append(f"{left} {''.join(row)} {right}")
        text = Text("\n".join(lines), no_wrap=True, end="")
        if latest:
            text.highlight_regex(rf"(?<![\w]){latest}(?![\w])", Style(reverse=True, bold=True))
        return text.append("\n" + under.center(width + 4)[: width + 4])

    def _side_letter(self, row: int, height: int, side: str) -> str:
        word = "HITTER" if height >= 8 else side
        start = (height - len(word)) // 2
        if self.view.bats != side or not 0 <= row - start < len(word):
            return " "
        return word[row - start]
