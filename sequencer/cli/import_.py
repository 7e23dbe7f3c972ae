"""`sequencer import`: read pitches, hitters or bullpens from a file, or a whole export."""

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING

import click

from sequencer.cli.options import book_option, json_option, print_json
from sequencer.cli.working import working
from sequencer.errors import BadInput

if TYPE_CHECKING:
    from sequencer.records.readers import Imported

FILE = click.Path(path_type=Path)


@click.command(epilog="Example: sequencer import games.csv --events events.csv --keep-good")
@click.argument("file", type=FILE)
@click.option("--events", type=FILE, metavar="FILE", help="The events file of a pitch log.")
@click.option("--map", "mapping", type=FILE, metavar="MAP.toml", help="Their words and columns.")
@click.option(
    "--kind",
    type=click.Choice(["pitches", "hitters", "bullpen"]),
    default="pitches",
    show_default=True,
    help="What the file holds.",
)
@click.option("--keep-good", is_flag=True, help="Keep the good rows when others are refused.")
@click.option(
    "--draft-map", type=FILE, metavar="MAP.toml", help="Write a first mapping for FILE and stop."
)
@click.option("--us", default="", metavar="TEAM", help="Our team, where the file does not say.")
@click.option("--them", default="", metavar="TEAM", help="The other team, where it does not say.")
@click.option(
    "--date", type=click.DateTime(["%Y-%m-%d"]), metavar="DATE", help="The day, where it does not."
)
@click.option("--level", default="", metavar="LEVEL", help="The level, where it does not say.")
@click.option("--rules", default="", metavar="RULES", help="The rule set, where it does not say.")
@json_option
@book_option
def command(
    file: Path,
    events: Path | None,
    mapping: Path | None,
    kind: str,
    keep_good: bool,
    draft_map: Path | None,
    us: str,
    them: str,
    date: dt.datetime | None,
    level: str,
    rules: str,
    as_json: bool,
    book: str,
) -> None:
    """Read FILE (CSV, JSON lines or Parquet), or the folder of an export, into the book.

    Every row that cannot be is named by its line and reason, and then nothing is read unless
    --keep-good. Reading the same file again adds nothing.
    """
    from sequencer.records.readers import import_file
    from sequencer.records.store import open_book

    if draft_map is not None:
        _draft(file, kind, draft_map, as_json=as_json)
        return
    with open_book(book) as opened:
        with working(f"Reading {file}"):
            done = import_file(
                opened,
                file,
                events=events,
                mapping=mapping,
                kind=kind,
                keep_good=keep_good,
                us=us,
                them=them,
                date=date.date() if date else None,
                level=level,
                rules=rules,
            )
        _tell(done, as_json=as_json)
        if done.bad and not keep_good:
            rows = "1 row was" if len(done.bad) == 1 else f"{len(done.bad)} rows were"
            raise BadInput(
                f"nothing was read from {file}: {rows} refused; correct the file, or add "
                "--keep-good"
            )


def _tell(done: "Imported", *, as_json: bool) -> None:
    if as_json:
        print_json(done.as_json())
        return
    for bad in done.bad:
        click.echo(f"{bad.file} line {bad.line}: {bad.reason}", err=True)
    for warning in done.warnings:
        click.echo(f"note: {warning}", err=True)
    refused = f", {len(done.bad)} refused" if done.bad else ""
    click.echo(f"{done.added} added, {done.known} known already{refused}")


def _draft(file: Path, kind: str, to: Path, *, as_json: bool) -> None:
    from sequencer.records.readers import draft_mapping

    text = draft_mapping(file, kind)
    if to.exists():
        raise BadInput(f"{to} exists already; name another file for the mapping")
    try:
        to.write_text(text, encoding="utf-8", newline="\n")
    except OSError as error:
        raise BadInput(f"{to} cannot be written: {error.strerror}") from error
    if as_json:
        print_json({"map": str(to)})
    else:
        click.echo(f"{to} written; check its lines, then: sequencer import {file} --map {to}")
