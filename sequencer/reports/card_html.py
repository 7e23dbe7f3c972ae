"""A card as one HTML page that needs no other file: pictures of the zone stand in it."""

from sequencer.planning.calls import read_call
from sequencer.reports.card_coach import per_100
from sequencer.reports.card_page import COUNTS, TIMES, Block, Page
from sequencer.reports.card_zone import zone_svg


def card_html(page: Page, *, sides: str = "both") -> str:
    """Return a card as HTML; names are escaped, and read in their own direction.

    Parameters
    ----------
    page : Page
    sides : str
        both, catcher or coach.
    """
    from jinja2 import Environment, PackageLoader, StrictUndefined
    from markupsafe import Markup

    environment = Environment(
        loader=PackageLoader("sequencer.reports"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["per_100"] = per_100
    # The pictures are made of numbers and of our own words for places: no name is in them.
    zones = [Markup(zone_svg(_targets(block))) for block in page.blocks]
    return environment.get_template("card.html").render(
        page=page, sides=sides, counts=list(COUNTS.values()), times=TIMES, zones=zones
    )


def _targets(block: Block) -> list[str]:
    return [read_call(call).target for row in block.rows for call in row]
