"""`sequencer score`: how good every step is on a pitch log."""

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from sequencer.cli.options import (
    json_option,
    keep_good_option,
    league_option,
    level_of,
    print_json,
    seed_option,
)
from sequencer.cli.working import working

if TYPE_CHECKING:
    import pandas as pd

    from sequencer.estimates.league import League


@click.command(
    epilog="Example: sequencer score june.csv --train season.csv --level 17-18   "
    "Example: sequencer score june.csv --reliability"
)
@click.argument("file", type=click.Path(path_type=Path))
@league_option
@click.option(
    "--train",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Score a league fitted on this log alone; the base rate and the trees know it too.",
)
@click.option("--level", metavar="LEVEL", help="Level of the log; else the log's own, else 17-18.")
@click.option("--pitcher", metavar="NAME", help="Only this pitcher's pitches.")
@click.option("--reliability", is_flag=True, help="Also what was said against what came, in bins.")
@click.option("--boosted", is_flag=True, help="Let the reader of the next pitch grow trees too.")
@keep_good_option
@json_option
@seed_option
def command(
    file: Path,
    league_file: Path | None,
    train: Path | None,
    level: str | None,
    pitcher: str | None,
    reliability: bool,
    boosted: bool,
    keep_good: bool,
    as_json: bool,
    seed: int,
) -> None:
    """Score every step of the league model on a pitch log it has not seen.

    For called strikes, swings, misses, fouls, balls in play and hit batters: the loss, whether 80 %
    comes true 80 % of the time, and the same loss for one base rate and for boosted trees on the
    same features. Then how often a reader names each pitcher's next pitch.

    The league is the built-in one, --league, or one fitted on --train. Trees are grown on --train,
    else on the log's other games; a log of one game is not compared with trees.

    \b
    --json: {"file", "league", "level", "pitches", "left_out",
      "unsure" (places that nobody measured), "games",
      "errors_by" (game, or at-bat where games are few), "trees_from"
      (training log, other games, or null), "steps": [{"step", "pitches",
      "happened", "loss", "interval", "base", "trees", "ratio" (ours over
      trees), "skill" (share of the base rate's loss saved), "slope",
      "slope_se", "intercept", "intercept_se", "verdict", "cannot",
      "reliability": [{"pitches", "said", "came", "interval"}]}],
      "next_pitch": {"all": R, "pitchers": [R]}}
    R = {"pitcher", "pitches", "nats", "constant_nats", "gain", "interval",
      "guess_rate", "constant_guess_rate", "verdict"}. Losses are nats a
      pitch, squared runs for in_play; null is what cannot be known.
    """  # noqa: D301 - a mark for click, not an escape
    if train is not None and league_file is not None:
        raise click.UsageError("give --league or --train, not both")
    from sequencer.baseball.levels import level as known
    from sequencer.estimates.boosted import OUTSIDER
    from sequencer.estimates.scored import score_log
    from sequencer.records.frames import read_log
    from sequencer.reports.score_text import score_json, score_text

    read = partial(read_log, keep_good=keep_good, each_alone=True)
    trees = OUTSIDER if boosted else None
    with working(f"Scoring {file}"):
        frame = _only(read(file), pitcher)
        at = known(level or level_of(frame)).name
        before = None if train is None else _unseen(read(train), train, frame, file)
        league, name = _league(at, league_file, train, before, file)
        found = score_log(frame, league, before, seed=seed, outsiders=trees)
    if as_json:
        print_json(score_json(found, str(file), name, at))
    else:
        click.echo(score_text(found, str(file), name, at, bins=reliability), nl=False)


def _only(frame: "pd.DataFrame", pitcher: str | None) -> "pd.DataFrame":
    """Keep one pitcher's pitches."""
    if pitcher is None:
        return frame
    from sequencer.errors import NotInBook

    named = frame["pitcher"].astype(str).str.casefold() == pitcher.casefold()
    if not named.any():
        known = ", ".join(sorted(set(frame["pitcher"].dropna().astype(str)))) or "nobody"
        raise NotInBook(f"No pitches of '{pitcher}' in this log; it has {known}.")
    return frame[named]


#: What makes two rows the same pitch.
_SAME = ("game", "date", "at_bat", "pitch_no", "pitcher", "hitter", "result", "side_in", "cell")


def _unseen(
    before: "pd.DataFrame", train: Path, frame: "pd.DataFrame", file: Path
) -> "pd.DataFrame":
    """Return the training log; refuse it where it holds pitches that are to be scored."""
    from sequencer.errors import BadInput

    keys = [set(log[list(_SAME)].astype(str).itertuples(index=False)) for log in (before, frame)]
    shared = len(keys[0] & keys[1])
    if shared:
        raise BadInput(
            f"{shared} pitches of {file} are in {train} too: a fit that knows the answers cannot "
            "be scored on them; leave those games out of --train."
        )
    return before


def _league(
    level: str,
    league_file: Path | None,
    train: Path | None,
    before: "pd.DataFrame | None",
    file: Path,
) -> tuple["League", str]:
    """Return the league to score and what it is called, with what it was fitted on."""
    from sequencer.estimates import fit, league

    if before is None:
        found = league.load(level, league_file)
        if league_file is None:
            return found, "The built-in league"
        data = found.fitted.data
        on = str((data.get("leaning") or data).get("name") or "")
        warning = ", a log of this name: on its own pitches a fit flatters itself"
        told = f" (fitted on {on}{warning if on == file.name else ''})" if on else ""
        return found, f"The league of {league_file}{told}"
    fitted = fit.fit_league(before, level=level, name=str(train))
    moved = league.League.of(fitted, league.shift_between(fitted, level), level)
    unsure = fitted.data.get("unsure", 0)
    blurred = f" ({unsure:,} of its places are cells or seen by eye: its edges come out blurred)"
    return moved, f"A league fitted on {train} alone{blurred if unsure else ''}"
