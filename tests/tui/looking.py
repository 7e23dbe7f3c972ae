"""What a screen shows, read cell by cell, and what can be wrong with it.

Nothing may be cut inside a word without an ellipsis, nothing be left out below without one, no two
widgets lie on each other or outside what holds them; and two colours in one widget are told apart
by something else too.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from io import StringIO
from typing import Any, Final

from rich.cells import cell_len
from rich.console import Console
from rich.style import Style
from textual.content import Content
from textual.geometry import Region
from textual.screen import Screen
from textual.visual import RichVisual
from textual.widget import Widget
from textual.widgets import Input, OptionList, Select, Static
from textual.widgets._toast import ToastRack

#: Drawn, not read: boxes, blocks, bars of a scroll.
DRAWN: Final = frozenset("─│┌┐└┘╭╮╰╯├┤┼ ░▒▓█▌▐▎▁▂▃▄▅▆▇▔▕╸╺━┃▀▊▏")
Cell = tuple[str, Style]
#: Attributes of a style that are there without colour.
Attributes = tuple[bool, bool, bool, bool]


@dataclass(frozen=True)
class Look:
    """A screen as it is drawn: a row of cells for each line; a wide letter's second is empty."""

    screen: Screen[Any]
    rows: tuple[tuple[Cell, ...], ...]

    def words(self, region: Region) -> list[str]:
        """Return the text in a region, a line each."""
        return ["".join(text for text, _ in row) for row in self.cells(region)]

    def cells(self, region: Region) -> list[tuple[Cell, ...]]:
        """Return the cells in a region, a row each."""
        return [row[region.x : region.right] for row in self.rows[region.y : region.bottom]]


def look(screen: Screen[Any]) -> Look:
    """Read a screen."""
    rows = []
    for strip in screen._compositor.render_strips():
        row: list[Cell] = []
        for text, style, _ in strip:
            if text.isascii():
                row += [(letter, style or Style()) for letter in text]
                continue
            for letter in text:
                width = cell_len(letter)
                if width:
                    row += [(letter, style or Style()), *[("", style or Style())] * (width - 1)]
                elif row:
                    row[-1] = (row[-1][0] + letter, row[-1][1])
        rows.append(tuple(row))
    return Look(screen, tuple(rows))


def attributes(style: Style) -> Attributes:
    """Return what of a style is there without colour."""
    return bool(style.bold), bool(style.italic), bool(style.underline), bool(style.reverse)


def faults(seen: Look) -> list[str]:
    """Return everything that is wrong with a screen, a sentence each."""
    return [*_outside(seen), *_on_each_other(seen), *_cut(seen), *_colour_alone(seen)]


def told(screen: Screen[Any]) -> dict[Widget, Region]:
    """Return the widgets that say or draw something, and where, as far as they are in view."""
    found = {}
    for widget, (region, clip) in screen._compositor.visible_widgets.items():
        inside = not any(isinstance(above, ToastRack) for above in widget.ancestors_with_self)
        if inside and widget.visible and not widget.is_container and widget is not screen:
            found[widget] = region.intersection(clip)
    return found


def _outside(seen: Look) -> Iterator[str]:
    """Rows as wide as the screen; every widget within what holds it, unless that scrolls."""
    width, height = seen.screen.size
    if len(seen.rows) != height or any(len(row) != width for row in seen.rows):
        yield f"drawn on {len(seen.rows)} rows of {[len(row) for row in seen.rows]} cells"
    for widget in told(seen.screen):
        region = seen.screen._compositor.full_map[widget].region
        holder = widget.parent
        if isinstance(holder, Widget) and not _scrolls(widget) and not _above(widget):
            there = seen.screen._compositor.full_map.get(holder)
            if there is not None and not there.region.contains_region(region):
                yield f"{_name(widget)} at {region} is not within {_name(holder)} {there.region}"


def _above(widget: Widget) -> bool:
    """Whether a widget lies over the others on purpose: the strip of a tour, a cover, a list."""
    overlay = any(one.styles.overlay == "screen" for one in widget.ancestors_with_self if one)
    return overlay or widget.layer not in ("default", "")


def _scrolls(widget: Widget) -> bool:
    """Whether something that holds a widget can be scrolled to show all of it."""
    return any(
        isinstance(above, Widget) and not isinstance(above, Screen) and above.max_scroll_y > 0
        for above in widget.ancestors_with_self
    )


def _on_each_other(seen: Look) -> Iterator[str]:
    placed = [(w, r) for w, r in told(seen.screen).items() if r.area and not _above(w)]
    for i, (one, at) in enumerate(placed):
        for other, there in placed[i + 1 :]:
            family = one in other.ancestors or other in one.ancestors
            if at.overlaps(there) and not family:
                yield f"{_name(one)} {at} lies on {_name(other)} {there}"


def _name(widget: Any) -> str:
    return f"{type(widget).__name__}#{widget.id}" if widget.id else type(widget).__name__


# words


def _cut(seen: Look) -> Iterator[str]:
    covered = [r for w, r in told(seen.screen).items() if _above(w)]
    for widget, region in told(seen.screen).items():
        said = whole(widget)
        if not said or any(region.overlaps(over) for over in covered):
            continue
        inner = widget.scrollable_content_region.intersection(region)
        lines = seen.words(inner)
        known = set(said.split())
        for line in lines:
            for word in line.split():
                if not _is_of(word, known):
                    yield f"{_name(widget)}: {word!r} in {line.strip()!r} is no word of its words"
        missing = known - {word for line in lines for word in line.split()}
        if missing and not _scrolls(widget) and not any("…" in line for line in lines):
            yield f"{_name(widget)} shows {lines} and leaves {sorted(missing)} out in silence"


def _is_of(word: str, known: set[str]) -> bool:
    if word in known or word == "…":
        return True
    return word.endswith("…") and any(one.startswith(word[:-1]) for one in known)


def whole(widget: Widget) -> str:
    """Return all that a widget would say had it all the room it wants, "" for a drawing."""
    if isinstance(widget, OptionList):
        options = (widget.get_option_at_index(at) for at in range(widget.option_count))
        return "\n".join(_plain(option.prompt) for option in options)
    if isinstance(widget, Static) and not isinstance(widget, Select):
        return _plain(widget.visual)
    return ""


def _plain(said: Any) -> str:
    if isinstance(said, Content):
        return said.plain
    if isinstance(said, RichVisual):
        said = said._renderable
    if isinstance(said, str):
        return said
    wide = Console(file=StringIO(), width=2000, color_system=None)
    with wide.capture() as kept:
        wide.print(said)
    return kept.get()


# colour


def _colour_alone(seen: Look) -> Iterator[str]:
    """Two colours of words in one widget differ in something else too."""
    for widget, region in told(seen.screen).items():
        if isinstance(widget, Input):
            continue
        looks: dict[Attributes, dict[Any, str]] = {}
        for row in seen.cells(region):
            for text, style in row:
                if text and text not in DRAWN and not text.isspace():
                    pair = (style.color, style.bgcolor)
                    looks.setdefault(attributes(style), {}).setdefault(pair, text)
        for same, pairs in looks.items():
            if len(pairs) > 1:
                yield f"{_name(widget)} tells {pairs} apart by colour alone ({same})"


def same_without_colour(colour: Look, none: Look) -> Iterator[str]:
    """Hold a screen against the same one drawn in no colour."""
    for y, (one, other) in enumerate(zip(colour.rows, none.rows, strict=True)):
        words, same = ("".join(text for text, _ in row) for row in (one, other))
        if words != same:
            yield f"row {y} reads {words!r} in colour and {same!r} in none"
    for row in none.rows:
        for text, style in row:
            if any(part and not part.is_default for part in (style.color, style.bgcolor)):
                yield f"{text!r} is drawn in {style}"


def bare(screen: Screen[Any], region: Region) -> list[list[tuple[str, Attributes]]]:
    """Return what is drawn in a region, its colours left out."""
    cells = look(screen).cells(region)
    return [[(text, attributes(style)) for text, style in row] for row in cells]
