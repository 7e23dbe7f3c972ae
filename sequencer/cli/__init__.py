"""The commands. Each lives in its own file and is imported only when it is called."""

import sys
from importlib import import_module
from typing import Any, Final, NamedTuple

import click

from sequencer import __version__
from sequencer.errors import CoachError


class Listed(NamedTuple):
    """A command of the table: where it lives and what its help line says."""

    module: str
    attribute: str
    says: str


#: Every command, in the order help lists them. Help reads this table, not the modules.
COMMANDS: Final[dict[str, Listed]] = {
    "demo": Listed("demo", "command", "Open the terminal UI on a throw-away demo book."),
    "log": Listed("log", "command", "Log a game live; --plain without a screen."),
    "serve": Listed("serve", "command", "The terminal UI in a browser, for a tablet."),
    "import": Listed("import_", "command", "Read pitches, hitters or bullpens from a file."),
    "export": Listed("export", "command", "Write the whole book to a folder."),
    "people": Listed("people", "command", "Who is in the book: list, name, mark, merge."),
    "page": Listed("page", "command", "What is believed of one hitter or pitcher."),
    "plan": Listed("plan", "command", "Plan every hitter for one of our pitchers."),
    "card": Listed("card", "command", "The plan on half a page, for the catcher to carry."),
    "suggest": Listed("suggest", "command", "The next call in one situation."),
    "simulate": Listed("simulate", "command", "A plan against hitters of several minds."),
    "review": Listed("review", "command", "What the other dugout could read in our pitches."),
    "fit": Listed("fit", "command", "Fit the league model on a pitch log."),
    "score": Listed("score", "command", "Score every step of the league model on a pitch log."),
    "gate": Listed("gate", "command", "Check a league against the counted values of each count."),
    "check": Listed("check", "command", "The health of a book."),
    "backup": Listed("backup", "backup_command", "A safe copy of the book."),
    "restore": Listed("backup", "restore_command", "Bring a safe copy back."),
    "bench": Listed("bench", "command", "The performance table of this machine."),
}


class Commands(click.Group):
    """A click group that imports a command's file only when it is run."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the names in the table's order."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import and return one command, or None for an unknown name."""
        listed = COMMANDS.get(cmd_name)
        if listed is None:
            return None
        module = import_module(f"sequencer.cli.{listed.module}")
        command = getattr(module, listed.attribute)
        assert isinstance(command, click.Command)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the table without importing anything."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, listed.says) for name, listed in COMMANDS.items()])


@click.group(
    cls=Commands,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"]},
    epilog="Example: sequencer demo",
)
@click.version_option(__version__, message="%(version)s")
@click.option("--book", metavar="PATH", help="The book to open (or environment SEQUENCER_BOOK).")
@click.pass_context
def sequencer(ctx: click.Context, book: str | None) -> None:
    """Scout hitters, plan pitches no one can read, log games live, review what could be read.

    Without a command the terminal UI opens on the book.
    """
    ctx.obj = book
    if ctx.invoked_subcommand is None:
        from sequencer.cli.open_tui import open_tui
        from sequencer.places import default_book

        open_tui(book or default_book())


def main(args: list[str] | None = None) -> None:
    """Run a command line: 0 done, 1 could not (one sentence on standard error), 2 bad call."""
    options: dict[str, Any] = {"prog_name": "sequencer", "standalone_mode": False}
    try:
        status = sequencer.main(args=args, **options)
        if sys.stdout is not None:
            sys.stdout.flush()
    except click.exceptions.Exit as stop:
        status = stop.exit_code
    except click.ClickException as bad_call:
        bad_call.show()
        status = bad_call.exit_code
    except CoachError as error:
        click.echo(f"sequencer: {error}", err=True)
        status = 1
    except (KeyboardInterrupt, click.Abort):
        click.echo("sequencer: stopped", err=True)
        status = 1
    except BrokenPipeError:
        _silence_stdout()
        status = 1
    except OSError as error:
        _silence_stdout()
        click.echo(f"sequencer: {_unwritten(error)}", err=True)
        status = 1
    sys.exit(status if isinstance(status, int) else 0)


def _unwritten(error: OSError) -> str:
    what = error.filename or "the output"
    why = error.strerror or str(error)
    return f"{what} could not be read or written ({why}): check it, then try again"


def _silence_stdout() -> None:
    """Point standard output at nothing, so that leaving does not write to the closed pipe."""
    import os

    if sys.stdout is None:
        return
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
