"""`sequencer fit`: league coefficients from a pitch log."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from sequencer.cli.options import json_option, keep_good_option, level_of, print_json
from sequencer.cli.working import working

if TYPE_CHECKING:
    import pandas as pd

    from sequencer.estimates.league import League

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
@keep_good_option
@json_option
def command(
    file: Path,
    out: Path | None,
    level: str | None,
    alone: bool,
    keep_good: bool,
    as_json: bool,
) -> None:
    """Fit the league model on a pitch log and write a coefficient file.

    Each pitch counts as it stands, so that a log may hold parts of at-bats.

    Unless --alone is given, a step with few pitches stays near the built-in league. Losses are on
    the log itself, so the fit looks a little better than it will be on new games.
    """
    from sequencer.errors import BadInput
    from sequencer.records.frames import read_log

    out = out or file.with_suffix(".league.json")
    if out.resolve() == file.resolve():
        raise BadInput(f"--out {out} is the log itself: give the coefficients another name")
    with working(f"Fitting the league on {file}"):
        log = read_log(file, keep_good=keep_good, each_alone=True)
        result = _fit(log, file, out, level, alone)
    if as_json:
        print_json(result)
    else:
        click.echo(_table(result))


def _fit(
    frame: "pd.DataFrame", file: Path, out: Path, level: str | None, alone: bool
) -> dict[str, Any]:
    from sequencer.baseball.levels import level as known
    from sequencer.errors import BadInput
    from sequencer.estimates import coefficients, fit, league, unsure
    from sequencer.estimates.fit_data import data_of

    at = known(level or level_of(frame)).name
    built_in = coefficients.read()
    found = fit.fit_league(frame, prior=None if alone else built_in, level=at, name=file.name)
    data = data_of(frame, at)
    before = unsure.losses(data, league.load(at))
    ours = league.League.of(found, league.shift_between(found, at), at)
    after = unsure.losses(data, ours)
    try:
        coefficients.save(found, out)
    except OSError as error:
        raise BadInput(
            f"{out} cannot be written ({error.strerror}): choose another --out."
        ) from error
    rows = found.data["rows"]
    told = [
        {"step": step, "rows": rows[step], "loss_before": before[step], "loss_after": after[step]}
        | _spread(step, ours)
        for step in _SAYS
    ]
    return {
        "file": str(out), "level": at, "alone": alone, "pitches": len(data.rows),
        "left_out": data.left_out, "unsure": data.entries.unsure if data.entries else 0,
        "steps": told,
        "surprise": list(found.data.get("surprise", {}).values()),
    }  # fmt: skip


def _spread(step: str, ours: "League") -> dict[str, Any]:
    """Return how far a step may be off: typically, by cell, and what that rests on."""
    from sequencer.estimates.doubt import by_cell, typical

    found = ours.fitted.doubt
    if found is None:
        return {}
    told: dict[str, Any] = {
        "typical_error": None,
        "errors": None,
        "cannot": found.cannot.get(step, ""),
    }
    if not told["cannot"]:
        told |= {"typical_error": typical(ours)[step], "errors": by_cell(found, step)}
    return told | {"games": found.games[step], "errors_by": found.by[step]}


def _table(result: dict[str, Any]) -> str:
    lines = [
        f"{result['pitches']} pitches fitted, {result['left_out']} left out (no place, no side, "
        "a bunt or not meant as a pitch).",
        f"{'step':<38}{'rows':>8}{'built-in':>10}{'fitted':>9}  give or take",
    ]
    for step in result["steps"]:
        losses = [step["loss_before"], step["loss_after"]]
        told = "".join("     none" if x != x else f"{x:9.4f}" for x in losses)
        spread = _give_or_take(step)
        lines.append(f"{_SAYS[step['step']]:<38}{step['rows']:>8} {told}  {spread}")
    lines += [
        "Loss: nats a pitch on this log (lower is better).",
        "Give or take: what a step may well be off by (one standard error, a usual cell at 1-1).",
        *_seen(result),
        *_rests(result["steps"]),
        *_surprises(result["surprise"]),
    ]
    return "\n".join([*lines, f"Written: {result['file']}"])


def _seen(result: dict[str, Any]) -> list[str]:
    """Return what places that nobody measured do to the fit."""
    if not result["unsure"]:
        return []
    some = f"{result['unsure']} of {result['pitches']} places are cells or seen by eye"
    if result["alone"]:
        return [f"{some}: alone, the edges come out blurred; without --alone this is allowed for."]
    return [f"{some}: each pitch counts everywhere that it may have crossed."]


def _give_or_take(step: dict[str, Any]) -> str:
    error = step["typical_error"]
    if error is None:
        return "unknown"
    if step["step"] == "in_play":
        return f"{error:.3f} runs".replace("0.", ".", 1)
    return f"{100 * error:.1f} in 100" if error >= 0.0005 else "under .1 in 100"


def _rests(steps: list[dict[str, Any]]) -> list[str]:
    """Return what the spread of which steps rests on, where it is little."""
    from sequencer.estimates.doubt import FEW_GAMES

    why: dict[str, list[str]] = {}
    for step in steps:
        few = f"rests on {step['games']} games: a rough spread"
        if step["errors_by"] == "prior":
            few = "too few pitches here; the league leaned on stands, with its own spread"
        elif step["games"] >= FEW_GAMES:
            few = ""
        why.setdefault(step["cannot"] or few, []).append(
            _SAYS[step["step"]].split(",")[0].split(" (")[0]
        )
    every = len(steps)
    return [
        f"{'Every step' if len(names) == every else '; '.join(names).capitalize()}: {told}."
        for told, names in why.items()
        if told
    ]


def _surprises(learnt: list[dict[str, Any]]) -> list[str]:
    from sequencer.estimates.surprise import Learnt

    return [Learnt(**one).sentence() for one in learnt]
