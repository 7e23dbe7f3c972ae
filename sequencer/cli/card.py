"""`sequencer card`: the plan on half a page that a catcher can carry."""

from pathlib import Path
from typing import Any, Literal

import click

from sequencer.cli.options import book_option, json_option, print_json, seed_option
from sequencer.cli.planned import hitters_options, planned
from sequencer.cli.planning_options import coach_options, pitcher_options
from sequencer.cli.working import working


@click.command(
    "card",
    epilog='Example: sequencer card --hitters "Osier Bend Wrens" --pitcher "Ilo Brandt" '
    "--game 2026-06-06-wrens --out card.pdf",
)
@hitters_options
@pitcher_options
@coach_options
@click.option(
    "--game",
    default="",
    metavar="GAME",
    help="The game it is for, which has a draw of its own; else today's date.",
)
@click.option("--each", is_flag=True, help="Six rows for every hitter, in place of shared plans.")
@click.option("--catcher-side", "sides", flag_value="catcher", help="Only the catcher's side.")
@click.option("--coach-side", "sides", flag_value="coach", help="Only the coach's side.")
@click.option(
    "--paper",
    type=click.Choice(["a4", "letter"]),
    default="a4",
    show_default=True,
    help="Half a sheet of it.",
)
@click.option(
    "--out",
    type=click.Path(dir_okay=False, path_type=Path),
    metavar="FILE",
    help="Write it there, as .pdf, .html, .png or .txt.",
)
@book_option
@json_option
@seed_option
def command(
    game: str,
    each: bool,
    sides: Literal["catcher", "coach"] | None,
    paper: str,
    out: Path | None,
    book: str,
    as_json: bool,
    seed: int,
    **said: Any,
) -> None:
    """Put the plan on half a page: up to three plans that hitters share, and the calls drawn.

    The catcher's side tells which call comes next, drawn anew for each game. The coach's side
    tells what carrying it so simply costs.
    """
    from datetime import date

    from sequencer.reports.card import card_text, form_of, line_up_of, make_page, save_page

    if out is not None:
        form_of(out)
    made = planned(book, said)
    with working("Drawing the card"):
        page = make_page(
            made.plan,
            line_up=line_up_of(made.plan, made.met),
            seed=seed,
            game=game or date.today().isoformat(),
            each=each,
        )
        files = save_page(page, out, sides=sides or "both", paper=paper) if out else ()
    for file in files:
        click.echo(f"Card written to {file}.", err=as_json)
    if as_json:
        print_json(page.as_json())
    elif out is None:
        click.echo(card_text(page, sides=sides or "both"))
