"""Options that several commands share."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

if TYPE_CHECKING:
    import pandas as pd

F = TypeVar("F", bound=Callable[..., Any])


def _book(ctx: click.Context, _option: click.Parameter, value: str | None) -> str:
    from sequencer.places import default_book

    return value or (ctx.find_root().obj if ctx.parent else None) or default_book()


def book_option(function: F) -> F:
    """Add `--book`, which defaults to the one before the command, SEQUENCER_BOOK or the user's."""
    return click.option(
        "--book",
        metavar="PATH",
        callback=_book,
        help="The book to use (or environment SEQUENCER_BOOK).",
    )(function)


def json_option(function: F) -> F:
    """Add `--json`: only JSON on standard output."""
    return click.option("--json", "as_json", is_flag=True, help="Only JSON on standard output.")(
        function
    )


def keep_good_option(function: F) -> F:
    """Add `--keep-good`: rows that cannot be read are left out instead of refusing the file."""
    return click.option(
        "--keep-good", is_flag=True, help="Leave rows out that cannot be read; else none is."
    )(function)


def seed_option(function: F) -> F:
    """Add `--seed`."""
    return click.option("--seed", type=int, default=0, show_default=True, help="Random seed.")(
        function
    )


def league_option(function: F) -> F:
    """Add `--league`."""
    return click.option(
        "--league",
        "league_file",
        type=click.Path(path_type=Path),
        metavar="FILE",
        help="What `sequencer fit` wrote; else the built-in league.",
    )(function)


def level_of(frame: "pd.DataFrame") -> str:
    """Return the level most pitches of a log name, else the usual one."""
    named = frame["level"][frame["level"].fillna("") != ""] if "level" in frame else None
    return "17-18" if named is None or named.empty else str(named.mode().iloc[0])


def print_json(value: object) -> None:
    """Print one JSON value on standard output; numbers that are not finite become null."""
    import json

    click.echo(json.dumps(_finite(value), ensure_ascii=False))


def _finite(value: object) -> object:
    if isinstance(value, float):
        return value if value - value == 0 else None
    if isinstance(value, dict):
        return {key: _finite(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_finite(item) for item in value]
    return value
