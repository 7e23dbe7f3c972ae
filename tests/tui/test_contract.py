"""One contract over all screens: every place and every dialog, on an empty, a thin and a full book.

Every key of the key table does something or a sentence says why not; help shows it; no words are
cut or left out in silence; nothing lies on anything else or outside; what has the focus is seen;
nothing is told by colour alone, and without colour everything reads the same. The walk is in
`walking`, what can be wrong with a screen in `looking`. Plans, reviews and advice are real.

Places kept as text are the same at every look, so they are taken where nothing is computed: a thin
book with the next call hidden.
"""

import datetime as dt
from pathlib import Path

import pytest

from sequencer.errors import BadInput
from sequencer.records.keymaps import RIGHT_HANDED
from tests.tui.driving import opened, same_as_golden
from tests.tui.looking import faults, look, same_without_colour
from tests.tui.walking import BOOKS, PLACE_NAMES, SIZES, Walk, book_of, walking
from tui import keys
from tui.help_page import page
from tui.screens import PLACES
from tui.screens.dialog import Dialog
from tui.thinking import Thinker

LOOKS = {f"{width}x{height}": (width, height) for width, height in SIZES}


async def walk_over(kind: str, folder: Path, *, colour: bool, every: bool = False) -> Walk:
    """Return what a walk over all screens came to."""
    async with walking(kind, folder, colour=colour, every=every) as walk:
        await walk.over_all()
    return walk


def nothing(wrong: list[str]) -> None:
    """Tell all that is wrong."""
    assert not wrong, f"{len(wrong)} wrong:\n" + "\n".join(wrong)


def unlike(in_colour: Walk, none: Walk) -> list[str]:
    """Return where a walk without colour read otherwise than the one in colour."""
    both = set(in_colour.looks) & set(none.looks)
    assert len(both) >= len(PLACE_NAMES) * len(SIZES)
    return [
        f"{where}: {fault}"
        for where in sorted(both)
        for fault in same_without_colour(in_colour.looks[where], none.looks[where])
    ]


async def test_every_screen_of_a_full_book_holds_in_colour_and_in_none(tmp_path: Path) -> None:
    in_colour = await walk_over("full", tmp_path / "colour", colour=True)
    async with walking("full", tmp_path / "none", colour=False) as none:
        await none.over_places()
    nothing(in_colour.wrong + none.wrong + unlike(in_colour, none))
    dialogs = {kind.__name__ for kind in Dialog.__subclasses__()}
    assert dialogs <= in_colour.dialogs


@pytest.mark.soak
async def test_every_screen_of_a_thin_book_holds(tmp_path: Path) -> None:
    nothing((await walk_over("thin", tmp_path, colour=True)).wrong)


async def test_every_screen_of_an_empty_book_holds_without_colour(tmp_path: Path) -> None:
    nothing((await walk_over("empty", tmp_path, colour=False)).wrong)


@pytest.mark.soak
@pytest.mark.parametrize("kind", BOOKS)
async def test_every_screen_holds_in_every_size_and_theme(kind: str, tmp_path: Path) -> None:
    in_colour = await walk_over(kind, tmp_path / "colour", colour=True, every=True)
    none = await walk_over(kind, tmp_path / "none", colour=False, every=True)
    nothing(in_colour.wrong + none.wrong + unlike(in_colour, none))


@pytest.mark.parametrize("place", PLACE_NAMES)
def test_every_place_has_help_that_begins_with_its_name(place: str) -> None:
    title = next(known.title for known in PLACES if known.name == place)
    assert page(place, RIGHT_HANDED).startswith(f"# {title}")


@pytest.mark.parametrize("place", PLACE_NAMES)
async def test_every_key_of_a_place_is_shown_by_its_help_whole(
    place: str, empty_book: str, tmp_path: Path
) -> None:
    """In a window so high that nothing scrolls, a line of help has the key and what it does."""
    async with opened(empty_book, (80, 400), place="games") as driven:
        await driven.app.action_place(place)
        await driven.press("f1")
        await driven.until(lambda: "tour: end it" in driven.text(), "the end of help")
        shown = await driven.settled()
        nothing(faults(look(driven.screen)))
        lines = [" ".join(line.split()) for line in shown.splitlines()]
    listed = (*keys.keys_of(place), *keys.keys_of(keys.EVERYWHERE))
    told = [f"{key.shown} {key.says}" for key in listed]
    if place == "dugout":
        told += [
            f"{name} {act.says}" for name, act in RIGHT_HANDED.acts.items() if act.kind != "place"
        ]
    assert [words for words in told if not any(words in line for line in lines)] == []


@pytest.fixture
def nothing_slow(monkeypatch: pytest.MonkeyPatch) -> None:
    """Leave plans and reviews out: the same at every look is what needs no computing."""

    def not_now(*_: object) -> None:
        raise BadInput("What takes long is left out of this test.")

    for name in ("plan", "review", "traits", "advise", "advise_at_once"):
        monkeypatch.setattr(Thinker, name, not_now)


@pytest.mark.usefixtures("nothing_slow")
@pytest.mark.parametrize("look", [*LOOKS, "no_colour"])
@pytest.mark.parametrize("place", PLACE_NAMES)
async def test_every_place_looks_as_it_was_looked_at(
    place: str, look: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    class FirstOfMay(dt.date):
        @classmethod
        def today(cls) -> "FirstOfMay":
            return cls(2026, 5, 3)

    for module in ("tui.desk", "tui.bullpen_desk", "tui.desk_forms"):
        fixed = type("Day", (), {"date": FirstOfMay, "timedelta": dt.timedelta})
        if hasattr(__import__(module, fromlist=["dt"]), "dt"):
            monkeypatch.setattr(f"{module}.dt", fixed)
    if look == "no_colour":
        monkeypatch.setenv("NO_COLOR", "1")
    monkeypatch.chdir(tmp_path)
    Path(book_of("thin", tmp_path)).rename("book.db")
    size = LOOKS.get(look, (80, 24))
    async with opened("book.db", size, game="tonight", place=place) as driven:
        same_as_golden(f"contract_{place}_{look}", await driven.settled())
