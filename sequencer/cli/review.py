"""`sequencer review`: what the other dugout could read in our pitches."""

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING

import click

from sequencer.cli.options import book_option, json_option, print_json, seed_option

if TYPE_CHECKING:
    import pandas as pd


@click.command(epilog="Example: sequencer review season.csv --pitcher Ames --since 2026-04-01")
@click.argument("file", required=False, type=click.Path(path_type=Path))
@click.option("--pitcher", metavar="NAME", help="Only this pitcher.")
@click.option(
    "--since",
    metavar="DATE",
    type=click.DateTime(formats=["%Y-%m-%d"]),
    help="Only games from this day on (2026-04-01).",
)
@click.option("--no-plan", is_flag=True, help="Do not hold the pitches against a plan.")
@book_option
@json_option
@seed_option
def command(
    file: Path | None,
    pitcher: str | None,
    since: dt.datetime | None,
    no_plan: bool,
    book: str,
    as_json: bool,
    seed: int,
) -> None:
    """Look for habits an opponent could read, and say what to practise.

    FILE is a pitch log; without one the book is reviewed. Only our own pitches are looked at.
    """
    from sequencer.review.review import review

    frame = _chosen(_log_of(file, book), pitcher, since.date() if since else None)
    if no_plan:
        found = review(frame, seed=seed)
    else:
        from sequencer.reports.usual_plans import usual_plans

        plans, stakes = usual_plans(frame)
        found = review(frame, plans=plans, stakes=stakes, seed=seed)
    if as_json:
        print_json(found.as_json())
        return
    from sequencer.reports.review_text import review_text

    click.echo(review_text(found), nl=False)


def _log_of(file: Path | None, book: str) -> "pd.DataFrame":
    from sequencer.records import frames

    if file is not None:
        return frames.read_log(file, replayed=True)
    from sequencer.records.store import open_book

    with open_book(book, create=False) as opened:
        return frames.pitch_frame(opened)


def _chosen(frame: "pd.DataFrame", pitcher: str | None, since: dt.date | None) -> "pd.DataFrame":
    """Keep one pitcher, and games from a day on."""
    from sequencer.errors import NotInBook

    if pitcher is not None:
        named = frame["pitcher"].astype(str).str.casefold() == pitcher.casefold()
        if not named.any():
            known = ", ".join(sorted(set(frame["pitcher"].dropna().astype(str)))) or "nobody"
            raise NotInBook(f"No pitches of '{pitcher}' in this log; it has {known}.")
        frame = frame[named]
    if since is not None:
        import pandas as pd

        day = pd.to_datetime(frame["date"], errors="coerce")
        frame = frame[day >= pd.Timestamp(since)]
    return frame
