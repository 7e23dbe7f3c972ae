"""`sequencer fit`: league coefficients from a pitch log."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from sequencer.cli.options import json_option, level_of, print_json

if TYPE_CHECKING:
    import pandas as pd

_SAYS = {
    "called": "called strike, given a take",
    "swing": "swing",
    "miss": "miss, given a swing",
    "foul": "foul, given contact",
    "in_play": "runs of a ball in play (mean square)",
    "hit_by_pitch": "hit by pitch, given a take",
}


@click.command(epilog="Example: sequencer fit season.csv --level college --out ours.json")
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    help="Where the coefficients go; beside FILE when not given.",
)
@click.option("--level", help="Level of the log; else the log's own, else 17-18.")
@click.option("--alone", is_flag=True, help="Do not lean on the built-in league.")
@json_option
def command(file: Path, out: Path | None, level: str | None, alone: bool, as_json: bool) -> None:
    """Fit the league model on a pitch log and write a coefficient file.

    Unless --alone is given, a step with few pitches stays near the built-in league. Losses are on
    the log itself, so the fit looks a little better than it will be on new games.
    """
    from sequencer.records.frames import read_log

    result = _fit(read_log(file), file, out or file.with_suffix(".league.json"), level, alone)
    if as_json:
        print_json(result)
    else:
        click.echo(_table(result))


def _fit(
    frame: "pd.DataFrame", file: Path, out: Path, level: str | None, alone: bool
) -> dict[str, Any]:
    from sequencer.baseball.levels import level as known
    from sequencer.errors import BadInput
    from sequencer.estimates import coefficients, fit, league
    from sequencer.estimates.fit_data import data_of

    at = known(level or level_of(frame)).name
    built_in = coefficients.read()
    found = fit.fit_league(frame, prior=None if alone else built_in, level=at, name=file.name)
    data = data_of(frame, at)
    before = fit.losses(data, league.load(at))
    after = fit.losses(data, league.League.of(found, league.shift_between(found, at), at))
    try:
        coefficients.save(found, out)
    except OSError as error:
        raise BadInput(
            f"{out} cannot be written ({error.strerror}): choose another --out."
        ) from error
    rows = found.data["rows"]
    steps = [
        {"step": step, "rows": rows[step], "loss_before": before[step], "loss_after": after[step]}
        for step in _SAYS
    ]
    return {
        "file": str(out), "level": at, "alone": alone, "pitches": len(data.rows),
        "left_out": data.left_out, "steps": steps,
    }  # fmt: skip


def _table(result: dict[str, Any]) -> str:
    lines = [
        f"{result['pitches']} pitches fitted, {result['left_out']} left out (no place, no side, "
        "a bunt or not meant as a pitch).",
        f"{'step':<38}{'rows':>8}{'built-in':>10}{'fitted':>9}",
    ]
    for step in result["steps"]:
        losses = [step["loss_before"], step["loss_after"]]
        told = "".join("     none" if x != x else f"{x:9.4f}" for x in losses)
        lines.append(f"{_SAYS[step['step']]:<38}{step['rows']:>8} {told}")
    lines += ["Loss: nats a pitch on this log (lower is better).", f"Written: {result['file']}"]
    return "\n".join(lines)
