"""A printable card of a plan: PDF, HTML, PNG or text by the file's ending, whole or not at all."""

import os
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path
from types import MappingProxyType
from typing import Final

from sequencer.errors import BadInput
from sequencer.live.scouting import Met
from sequencer.planning.plan import Plan
from sequencer.reports.card_html import card_html
from sequencer.reports.card_page import Page, make_page
from sequencer.reports.card_text import card_text
from sequencer.reports.card_typst import Sides, pdf, pictures
from sequencer.reports.card_words import Batter

__all__ = ["Batter", "Page", "card_text", "line_up_of", "make_page", "save_page", "write_card"]

#: Ending of a file -> its pages from a card, the side(s) wanted and the paper.
FORMS: Final[MappingProxyType[str, Callable[[Page, Sides, str], list[bytes]]]] = MappingProxyType(
    {
        ".pdf": lambda page, sides, paper: [pdf(page, sides=sides, paper=paper)],
        ".png": lambda page, sides, paper: pictures(page, sides=sides, paper=paper),
        ".html": lambda page, sides, _: [card_html(page, sides=sides).encode()],
        ".txt": lambda page, sides, _: [(card_text(page, sides=sides) + "\n").encode()],
    }
)


def write_card(
    plan: Plan,
    path: str | Path,
    *,
    line_up: Sequence[Batter] = (),
    seed: int = 0,
    game: str = "",
    each: bool = False,
    sides: Sides = "both",
    paper: str = "a4",
) -> tuple[Path, ...]:
    """Write a plan's card and return the files: one, or one a page for pictures.

    Parameters
    ----------
    plan : Plan
    path : str or Path
        Its ending says what is written: .pdf, .html, .png or .txt.
    line_up : sequence of Batter
        Numbers, names and marks of the plan's hitters in its order; else as the plan calls them.
    seed : int
    game : str
        Which game it is for: another game gets another draw.
    each : bool
        Every hitter's own six rows, in place of shared plans.
    sides : str
        both, catcher or coach.
    paper : str
        a4 or letter; a card is half a sheet.

    Raises
    ------
    BadInput
        For another ending, or when the file cannot be written; nothing is then left behind.
    """
    form_of(path)
    page = make_page(plan, line_up=line_up, seed=seed, game=game, each=each)
    return save_page(page, path, sides=sides, paper=paper)


def line_up_of(plan: Plan, met: Sequence[Met]) -> list[Batter]:
    """Return a plan's hitters with the numbers and marks they are known by, in its order."""
    return [
        Batter.of(
            one.hitter,
            one.bats,
            number=known.person.number,
            marks=[mark.mark for mark in known.marks],
        )
        for one, known in zip(plan.hitters, met, strict=True)
    ]


def save_page(
    page: Page, path: str | Path, *, sides: Sides = "both", paper: str = "a4"
) -> tuple[Path, ...]:
    """Write a card that is made; see `write_card`."""
    file = Path(path).expanduser()
    made = form_of(path)(page, sides, paper)
    names = [file, *(file.with_stem(f"{file.stem}-{k}") for k in range(2, len(made) + 1))]
    _write(dict(zip(names, made, strict=True)))
    return tuple(names)


def form_of(path: str | Path) -> Callable[[Page, Sides, str], list[bytes]]:
    """Return what makes a file of this ending.

    Raises
    ------
    BadInput
        If there is none.
    """
    form = FORMS.get(Path(path).suffix.lower())
    if form is None:
        known = ", ".join(FORMS)
        raise BadInput(f"A card cannot be written as {Path(path).name}: end it in one of {known}.")
    return form


def _write(files: dict[Path, bytes]) -> None:
    """Write every file beside its place first, then put them there: never half a card."""
    parts: dict[Path, Path] = {}
    try:
        for file, data in files.items():
            handle, name = tempfile.mkstemp(prefix=f".{file.name}.", dir=file.parent)
            parts[file] = Path(name)
            with os.fdopen(handle, "wb") as part:
                part.write(data)
        for file, made in parts.items():
            made.chmod(0o644)
            made.replace(file)
    except OSError as error:
        first = next(iter(files))
        raise BadInput(
            f"The card cannot be written to {first} ({error.strerror}): name another file."
        ) from error
    finally:
        for made in parts.values():
            made.unlink(missing_ok=True)
