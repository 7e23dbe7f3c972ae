"""What the review of a large invented log takes: seconds by part, and memory.

python -m tests.review.million [--pitches N] [--pitchers N] [--boosted] [--plans] [--workers N]
"""

import os
import resource
import time
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager
from functools import wraps
from typing import Any, Final
from unittest import mock

import click
import numpy as np
import pandas as pd
from numpy.typing import NDArray

from sequencer.estimates import boosted
from sequencer.review import review as review_room

Codes = NDArray[np.int64]

#: At-bats of ours in a game, and in a row by one pitcher.
AT_BATS: Final = 40
STINT: Final = 20
#: Pitchers that one catcher, or the coach who calls for them, has.
STAFF: Final = 8
TYPES: Final = ("fastball", "two-seam", "curveball", "slider", "changeup")
RESULTS: Final = ("ball", "called strike", "swinging strike", "foul", "in play")
_CHANCES: Final = (0.37, 0.17, 0.1, 0.18, 0.18)
_LONGEST: Final = 20


def invented(pitches: int, pitchers: int = 400, seed: int = 0) -> pd.DataFrame:
    """Return an invented log: pitchers of five types, half of whom give something away.

    Parameters
    ----------
    pitches, pitchers : int
    seed : int

    Returns
    -------
    DataFrame
        `pitches` rows in the order thrown, words as categories.
    """
    rng = np.random.default_rng(seed)
    log = _counts(pitches, rng)
    at_bat, balls, strikes = log["at_bat"], log["balls"], log["strikes"]
    stint = at_bat // STINT
    pitcher = rng.permutation(np.arange(stint[-1] + 1) % pitchers)[stint]
    mixes = rng.dirichlet((8.0, 3.0, 3.0, 2.0, 3.0), size=pitchers)
    tells = (pitcher % 2 == 0) & (balls > strikes)
    shares = np.where(tells[:, None], mixes[pitcher] * (1.6, 1.0, 1.0, 1.0, 0.7), mixes[pitcher])
    pitch = _drawn(shares, rng)
    bats = (rng.random(len(at_bat)) < 0.4)[at_bat]
    target = _drawn(np.where((pitch >= 2)[:, None], (0.3, 0.7), (0.5, 0.5)), rng)
    aimed = np.where((target == 1) ^ bats, 5.0, -5.0)
    game, outs = at_bat // AT_BATS, at_bat % 3
    bases = rng.random((3, len(at_bat)))[:, at_bat] < np.array((0.3, 0.2, 0.1))[:, None]
    return pd.DataFrame(
        {
            "game": _words([f"game {i}" for i in range(game[-1] + 1)], game),
            "date": np.datetime64("2024-03-01", "ns") + (game % 600) * np.timedelta64(1, "D"),
            "pitching": _words(["us"], np.zeros_like(game)),
            "level": _words(["17-18"], np.zeros_like(game)),
            "inning": 1 + at_bat % AT_BATS // 4,
            "at_bat": at_bat % AT_BATS + 1,
            "pitch_no": log["pitch_no"],
            "balls": balls,
            "strikes": strikes,
            "outs": outs,
            **{f"on_{base}": bases[i].astype(np.int64) for i, base in enumerate(_BASES)},
            "pitcher": _words([f"Arm {i}" for i in range(pitchers)], pitcher),
            "throws": _words(["R", "L"], (pitcher % 4 == 0).astype(np.int64)),
            "catcher": _words(_staff("Mitt", pitchers), pitcher // STAFF * 2 + game % 2),
            "caller": _words(_staff("Caller", pitchers), pitcher // STAFF * 2 + game % 3 // 2),
            "hitter": _words([f"Bat {i}" for i in range(900)], (game % 100) * 9 + at_bat % 9),
            "bats": _words(["R", "L"], bats.astype(np.int64)),
            "called": _words(list(TYPES), pitch),
            "pitch": _words(list(TYPES), pitch),
            "target": _words(["in", "away"], target),
            "side_in": rng.normal(aimed, 10.0).clip(-50, 50).round(1),
            "height_in": rng.normal(29.0, 10.0, len(pitch)).clip(-20, 90).round(1),
            "result": _words(list(RESULTS), log["result"]),
            "play": _words(["", "out", "single"], _plays(log["result"], rng)),
        }
    )


_BASES: Final = ("first", "second", "third")


def _counts(pitches: int, rng: np.random.Generator) -> dict[str, Codes]:
    """Return whole at-bats, cut at so many pitches: their counts and results."""
    at_bats = pitches // 3 + 10
    live, balls, strikes = np.arange(at_bats), *np.zeros((2, at_bats), dtype=np.int64)
    found: dict[str, list[Codes]] = defaultdict(list)
    for number in range(1, _LONGEST + 1):
        result = rng.choice(len(RESULTS), size=len(live), p=_CHANCES)
        columns = (live, balls[live], strikes[live], result, np.full(len(live), number))
        for name, column in zip(
            ("at_bat", "balls", "strikes", "result", "pitch_no"), columns, strict=True
        ):
            found[name].append(column)
        balls[live] += result == 0
        more = (result == 1) | (result == 2) | ((result == 3) & (strikes[live] < 2))
        strikes[live] += more
        live = live[(balls[live] < 4) & (strikes[live] < 3) & (result != 4)]
    log = {name: np.concatenate(parts) for name, parts in found.items()}
    order = np.lexsort((log["pitch_no"], log["at_bat"]))[:pitches]
    return {name: column[order] for name, column in log.items()}


def _drawn(shares: NDArray[np.float64], rng: np.random.Generator) -> Codes:
    """Draw one column of each row in proportion to its shares."""
    edges = np.cumsum(shares, axis=1)
    at = rng.random(len(shares)) * edges[:, -1]
    return np.asarray((at[:, None] >= edges[:, :-1]).sum(axis=1), dtype=np.int64)


def _plays(result: Codes, rng: np.random.Generator) -> Codes:
    return np.where(result == 4, 1 + (rng.random(len(result)) < 0.3), 0)


def _staff(word: str, pitchers: int) -> list[str]:
    return [f"{word} {i}" for i in range(2 * (pitchers // STAFF + 1))]


def _words(words: Sequence[str], code: Codes) -> "pd.Categorical[str]":
    return pd.Categorical.from_codes(code, pd.Index(list(words)))


#: What is timed: functions as the review calls them.
PARTS: Final = (
    *("encode", "ledger_of", "totals", "turning_points", "tells_of", "look_for", "asked_share"),
    *("read", "worth", "fix", "needed", "follow_up", "asked", "habit_worth"),
)


@contextmanager
def timed() -> Iterator[Mapping[str, float]]:
    """Add up the processor's seconds by part while a review runs."""
    seconds = dict.fromkeys(PARTS, 0.0)
    with ExitStack() as stack:
        for name in PARTS:
            kept = _timed(getattr(review_room, name), name, seconds)
            stack.enter_context(mock.patch.object(review_room, name, kept))
        yield seconds


def _timed(
    function: Callable[..., Any], name: str, seconds: dict[str, float]
) -> Callable[..., Any]:
    @wraps(function)
    def called(*args: Any, **kwargs: Any) -> Any:
        began = time.process_time()
        try:
            return function(*args, **kwargs)
        finally:
            seconds[name] += time.process_time() - began

    return called


def memory_mib() -> float:
    """Return the most memory this process and the largest it has ended held, MiB.

    Linux counts kibibytes. What a copy shares with its parent counts twice.
    """
    sizes = (resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    return sum(size.ru_maxrss for size in sizes) / 1024


@click.command()
@click.option("--pitches", default=1_000_000)
@click.option("--pitchers", default=400)
@click.option(
    "--boosted", "trees", is_flag=True, help="Let the reader weigh boosted trees as well."
)
@click.option("--plans", is_flag=True, help="Hold the pitches against plans.")
@click.option("--workers", default=2, help="Processes; parts are told with 1.")
def command(pitches: int, pitchers: int, trees: bool, plans: bool, workers: int) -> None:
    """Review an invented log, and print what it took by the clock and of the processors."""
    frame = invented(pitches, pitchers)
    click.echo(
        f"{len(frame):,} pitches of {pitchers} pitchers; frame made, {memory_mib():,.0f} MiB"
    )
    held: dict[str, Any] = {"workers": workers, "outsiders": boosted.OUTSIDER if trees else None}
    if plans:
        from sequencer.reports.usual_plans import usual_plans

        began = time.perf_counter()
        held["plans"], held["stakes"] = usual_plans(frame)
        click.echo(f"{'plans':24}{time.perf_counter() - began:9.2f} s")
    with timed() as seconds:
        began, busy = time.perf_counter(), _busy()
        found = review_room.review(frame, **held)
        whole, busy = time.perf_counter() - began, _busy() - busy
    for name, part in seconds.items():
        if part:
            click.echo(f"{name:24}{part:9.2f} s")
    click.echo(f"{'all of it':24}{busy:9.2f} s of the processors")
    flagged = sum(each.flagged for one in found.pitchers for each in one.findings)
    click.echo(f"{'review':24}{whole:9.2f} s, {flagged} habits, at most {memory_mib():,.0f} MiB")


def _busy() -> float:
    """Return seconds of processors that this process and those it has ended have taken."""
    times = os.times()
    return times.user + times.system + times.children_user + times.children_system


if __name__ == "__main__":
    command()
