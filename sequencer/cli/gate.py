"""`sequencer gate`: whether a league plays the counts as they were counted."""

from pathlib import Path

import click

from sequencer.cli.options import json_option, league_option, print_json
from sequencer.cli.working import working


@click.command(epilog="Example: sequencer gate --league ours.json")
@league_option
@json_option
def command(league_file: Path | None, as_json: bool) -> None:
    """Check what a league must reproduce before anything is planned with it.

    Professional calls against professional hitters must give each count's value within .01 runs of
    the counted one, and strikeouts and walks within 2 in 100. Exit 1 when it does not pass.

    \b
    --json: {"league", "ok", "says", "worst", "counts": {"0-0": {"value",
      "counted", "ok"}, ...}, "strikeouts": {"value", "counted", "ok"},
      "walks": the same}. Runs over 0-0; shares of plate appearances.
    """  # noqa: D301 - a mark for click, not an escape
    from sequencer.errors import BadInput
    from sequencer.estimates.league import load
    from sequencer.planning.gate import check
    from sequencer.reports.gate_text import gate_json, gate_text

    name = "The built-in league" if league_file is None else f"The league of {league_file}"
    with working("Checking the league"):
        found = check(load("pro", league_file))
    if as_json:
        print_json(gate_json(found, name))
    else:
        click.echo(gate_text(found, name), nl=False)
    if not found.ok:
        raise BadInput(f"{name} does not pass the gate: {found.says}; fit it on more pitches.")
