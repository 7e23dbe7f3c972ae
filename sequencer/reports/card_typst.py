"""A card set by typst: PDF or pictures, the fonts within, the same bytes for the same card."""

import json
from importlib.resources import files
from typing import Any, Final, Literal

from sequencer.errors import BadInput
from sequencer.reports.card_coach import per_100
from sequencer.reports.card_page import COUNTS, TIMES, Page

Sides = Literal["both", "catcher", "coach"]
#: Half a sheet of paper, millimetres: width and height.
PAPERS: Final = {"a4": (148.0, 210.0), "letter": (139.7, 215.9)}
#: Dots of a picture to an inch: half a sheet is 1,166 dots wide.
_DOTS: Final = 200.0


def pdf(page: Page, *, sides: Sides = "both", paper: str = "a4") -> bytes:
    """Return a card as a PDF."""
    return _set(page, sides, paper, "pdf")[0]


def pictures(page: Page, *, sides: Sides = "catcher", paper: str = "a4") -> list[bytes]:
    """Return a card as PNG pictures, one a page."""
    return _set(page, sides, paper, "png")


def _set(page: Page, sides: Sides, paper: str, form: Literal["pdf", "png"]) -> list[bytes]:
    import typst

    if paper not in PAPERS:
        raise BadInput(f"'{paper}' is no paper a card is made for: use {' or '.join(PAPERS)}.")
    template = files("sequencer.reports").joinpath("templates/card.typ").read_bytes()
    told = {"card": json.dumps(_data(page, *PAPERS[paper])), "sides": sides}
    made = typst.compile(template, format=form, ppi=_DOTS, sys_inputs=told)
    return list(made) if isinstance(made, list) else [bytes(made)]


def _data(page: Page, width: float, height: float) -> dict[str, Any]:
    """Return what the template reads."""
    return {
        "width": width,
        "height": height,
        "title": " ".join(filter(None, (page.pitcher, page.game))),
        "pitcher": page.pitcher,
        "game": page.game,
        "each": page.each,
        "legend": page.legend,
        "example": page.example,
        "shelved": page.shelved_says,
        "counts": [list(counts) for counts in COUNTS.values()],
        "times": list(TIMES),
        "lines": [
            {
                "number": line.batter.number,
                "name": line.batter.name if page.each else line.batter.tag,
                "bats": line.batter.bats,
                "plan": line.plan,
                "draw": line.draw,
                "pair": line.pair,
            }
            for line in page.lines
        ],
        "blocks": [
            {
                "letter": block.letter,
                "title": block.title,
                "numbers": "  ".join(block.numbers),
                "rows": block.rows,
                "pair": block.pair,
            }
            for block in page.blocks
        ],
        "says": page.coach.says,
        "costs": [
            [
                one.batter.number,
                one.batter.bats,
                one.batter.name,
                one.plan,
                per_100(one.simple),
                per_100(one.sharing),
            ]
            for one in page.coach.costs
        ],
        "shares": page.coach.shares,
    }
