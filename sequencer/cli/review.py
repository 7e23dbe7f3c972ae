"""`sequencer review`: what the other dugout could read in our pitches, or we in theirs."""

import datetime as dt
import os
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import click

from sequencer.cli.chosen import Chosen, chosen_options
from sequencer.cli.options import book_option, json_option, print_json, seed_option
from sequencer.cli.working import working

if TYPE_CHECKING:
    import pandas as pd

    from sequencer.review.reviewed import Review

#: Pitches from which several processes are worth starting: about a second of work.
SHARED_FROM: Final = 20_000


@click.command(epilog="Example: sequencer review season.csv --pitcher Ames --since 2026-04-01")
@click.argument("file", required=False, type=click.Path(path_type=Path))
@chosen_options
@click.option(
    "--since-fix",
    metavar="DATE",
    type=click.DateTime(formats=["%Y-%m-%d"]),
    help="Follow up the habits found before this day; else those before the last game.",
)
@click.option(
    "--notes",
    multiple=True,
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="What an observer noted of tells, a CSV (repeat it).",
)
@click.option("--no-plan", is_flag=True, help="Do not hold the pitches against a plan.")
@click.option("--theirs", is_flag=True, help="Review their pitcher: what can our hitters sit on?")
@click.option(
    "--boosted", is_flag=True, help="Let the reader grow trees too, from someone's 300th pitch on."
)
@book_option
@json_option
@seed_option
def command(
    file: Path | None,
    since_fix: dt.datetime | None,
    notes: tuple[Path, ...],
    no_plan: bool,
    theirs: bool,
    boosted: bool,
    book: str,
    as_json: bool,
    seed: int,
    **said: Any,
) -> None:
    """Look for habits an opponent could read, and say what to practise.

    FILE is a pitch log; without one the book is reviewed. Only our own pitches are looked at, or
    with --theirs only those thrown to our hitters.
    """
    if theirs and (since_fix or notes):
        raise click.UsageError("--since-fix and --notes are of our own pitches, not of --theirs.")
    with working("Reading the log"):
        log, pens = _log_of(file, book)
        frame = Chosen.of(said).of_log(_of_side(log, theirs))
    asked, since = _asked(frame, boosted, seed), since_fix.date() if since_fix else None
    with working("Looking for habits"):
        if theirs:
            found = _theirs(frame, asked)
        else:
            found = _ours(frame, pens, notes, since, no_plan, asked)
    if as_json:
        print_json(found.as_json())
    elif theirs:
        from sequencer.reports.opponent_text import opponent_text

        click.echo(opponent_text(found), nl=False)
    else:
        from sequencer.reports.review_text import review_text

        click.echo(review_text(found), nl=False)


def _asked(frame: "pd.DataFrame", boosted: bool, seed: int) -> dict[str, Any]:
    """Return what a review is asked for whose pitches they are."""
    asked: dict[str, Any] = {"seed": seed}
    if boosted:
        from sequencer.estimates.boosted import OUTSIDER

        asked["outsiders"] = OUTSIDER
    # by trees a pitcher's review takes about five times as long (a million pitches)
    if len(frame) * (5 if boosted else 1) >= SHARED_FROM:
        asked["workers"] = os.cpu_count() or 1
    return asked


def _ours(
    frame: "pd.DataFrame",
    pens: "pd.DataFrame | None",
    notes: tuple[Path, ...],
    since_fix: dt.date | None,
    no_plan: bool,
    asked: dict[str, Any],
) -> "Review":
    from functools import partial

    from sequencer.review.review import review
    from sequencer.review.tells import read_notes

    held: dict[str, Any] = {}
    if not no_plan:
        from sequencer.reports.ledger_values import ledger_values
        from sequencer.reports.usual_plans import plans_of, usual_plans

        made = plans_of(frame)
        plans, stakes = usual_plans(frame, made)
        held = {"plans": plans, "stakes": stakes, "values": partial(ledger_values, plans=made)}
    return review(
        frame,
        pens=None if pens is None else pens[pens["pitcher"].isin(frame["pitcher"])],
        notes=[note for path in notes for note in read_notes(path)],
        since_fix=since_fix or "last game",
        **asked,
        **held,
    )


def _theirs(frame: "pd.DataFrame", asked: dict[str, Any]) -> "Review":
    from sequencer.review.review import review

    return review(frame, whose="them", **asked)


def _log_of(file: Path | None, book: str) -> "tuple[pd.DataFrame, pd.DataFrame | None]":
    """Return the pitches, and of a book its bullpens too."""
    from sequencer.records import frames

    if file is not None:
        return frames.read_log(file, replayed=True), None
    from sequencer.records.store import open_book

    with open_book(book, create=False) as opened:
        return frames.pitch_frame(opened), frames.bullpen_frame(opened)


def _of_side(frame: "pd.DataFrame", theirs: bool) -> "pd.DataFrame":
    """Keep the pitches of one side; a log that does not say is of our own."""
    if "pitching" not in frame:
        return frame.iloc[:0] if theirs else frame
    pitching = frame["pitching"].fillna("us").replace("", "us")
    return frame[pitching == ("them" if theirs else "us")]
