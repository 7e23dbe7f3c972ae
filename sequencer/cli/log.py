"""`sequencer log`: log a game live, on the terminal UI or line by line."""

import datetime as dt
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from sequencer.cli.options import book_option

if TYPE_CHECKING:
    from sequencer.live.plain_log import PlainLog


@click.command(
    epilog="Example: sequencer log opener --plain --us Herons --them Owls --pitcher Vela"
)
@click.argument("game")
@click.option(
    "--plain", is_flag=True, help="No screen: one entry a line in, one answer a line out."
)
@click.option("--us", default="", metavar="TEAM", help="Our team, for a new game.")
@click.option("--them", default="", metavar="TEAM", help="The other team, for a new game.")
@click.option(
    "--home",
    type=click.Choice(["us", "them"]),
    default="us",
    show_default=True,
    help="Who is home.",
)
@click.option("--pitcher", default="", metavar="NAME", help="Our pitcher, for a new game.")
@click.option(
    "--line-up",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Their line-up in order: a CSV file with hitter, bats, hitter_no.",
)
@click.option("--level", default="", metavar="LEVEL", help="Age group or league class.")
@click.option("--rules", default="", metavar="RULES", help="The rule set.")
@click.option(
    "--date", type=click.DateTime(["%Y-%m-%d"]), metavar="DATE", help="Day of the game; else today."
)
@click.option("--both", is_flag=True, help="Their pitching is logged too.")
@book_option
def command(
    game: str,
    plain: bool,
    us: str,
    them: str,
    home: str,
    pitcher: str,
    line_up: Path | None,
    level: str,
    rules: str,
    date: dt.datetime | None,
    both: bool,
    book: str,
) -> None:
    """Log GAME, one pitch or event at a time. A game in the book goes on where it stood.

    With --plain a line is a pitch (changeup, down-away, swinging strike, target=away), or at,
    pitcher, catcher, sub, runner, walk, count, score, end half, correct, insert, undo, redo, state.
    """
    from sequencer.live.opening import NewGame, open_game
    from sequencer.live.plain_log import PlainLog
    from sequencer.records.store import open_book

    new = NewGame(us, them, home, pitcher, line_up, level, rules, date and date.date(), both)
    with open_book(book) as opened:
        session = open_game(opened, game, new)
        if plain:
            _converse(PlainLog(session))
            return
    from sequencer.cli.open_tui import open_tui

    open_tui(book=book, game=session.game.id)


def _converse(log: "PlainLog") -> None:
    """Answer every line of standard input until it ends; each answer is flushed at once."""
    said = sys.stdout.buffer
    for raw in sys.stdin.buffer:
        answer = _answer(log, raw)
        if answer:
            said.write(answer.encode() + b"\n")
            said.flush()


def _answer(log: "PlainLog", raw: bytes) -> str:
    try:
        line = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        return "no the line is not UTF-8 text: send it again as UTF-8"
    return log.answer(line)
