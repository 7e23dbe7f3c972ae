"""`sequencer log`: log a game live, on the terminal UI or line by line."""

import datetime as dt
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from sequencer.cli.options import book_option
from sequencer.errors import BadInput, CoachError

if TYPE_CHECKING:
    from sequencer.live.plain_log import PlainLog


def _list_rules(ctx: click.Context, _option: click.Parameter, value: str | None) -> None:
    if value is None or ctx.resilient_parsing:
        return
    from sequencer.baseball.rules import rule_set
    from sequencer.reports.rules_text import rules_text

    click.echo(rules_text(rule_set(value)))
    ctx.exit()


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
    "--rule",
    "changed_rules",
    multiple=True,
    metavar="NAME=VALUE",
    help="Change one rule of this game, as half_run_limit=5 (repeat it).",
)
@click.option(
    "--coach-rule",
    "coach_rules",
    multiple=True,
    metavar="RULE",
    help='A rule that `call` keeps with --plain: "no changeup with two strikes" (repeat it).',
)
@click.option(
    "--list-rules",
    is_flag=False,
    flag_value="",
    metavar="[RULES]",
    is_eager=True,
    expose_value=False,
    callback=_list_rules,
    help="Show every rule, its value and its source, and stop.",
)
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
    changed_rules: tuple[str, ...],
    coach_rules: tuple[str, ...],
    date: dt.datetime | None,
    both: bool,
    book: str,
) -> None:
    """Log GAME, one pitch or event at a time. A game in the book goes on where it stood.

    With --plain a line is a pitch (changeup, down-away, swinging strike, target=away), or at,
    absent, pitcher, throws, catcher, sub, runner, walk, count, score, end half, visit, note,
    correct, replace, remove, insert, undo, redo, state, next three; call draws the next call,
    where the rules of the game allow it, and keeps each rule of yours (rule, rules).
    """
    from sequencer.baseball.rules import read_edits
    from sequencer.cli.open_tui import need_terminal, open_tui
    from sequencer.live.opening import NewGame, open_game
    from sequencer.live.plain_log import PlainLog
    from sequencer.live.rule_changes import change_rules
    from sequencer.records.store import open_book

    if not plain:
        if coach_rules:
            raise BadInput("--coach-rule goes with --plain: on the screen the plan (F3) has rules.")
        need_terminal()
    ours = _checked(coach_rules)
    edits = read_edits("; ".join(changed_rules))
    day = date and date.date()
    new = NewGame(us, them, home, pitcher, line_up, level, rules, day, both, edits)
    with open_book(book) as opened:
        session = open_game(opened, game, new)
        told = change_rules(session, edits) if edits else ""
        if told:
            click.echo(told, err=True)
        if plain:
            _converse(PlainLog(session, rules=ours))
            return
    open_tui(book=book, game=session.game.id)


def _checked(said: tuple[str, ...]) -> list[tuple[str, str]]:
    """Return the coach's rules; without any, nothing of planning is imported."""
    if said:
        from sequencer.live.coaching import read

        read(("", words) for words in said)
    return [("", words) for words in said]


def _converse(log: "PlainLog") -> None:
    """Answer every line of standard input until it ends; each answer is flushed at once."""
    if sys.stdin is None or sys.stdout is None:
        raise CoachError("There is no standard input and output to log through: leave both open.")
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
