"""`sequencer bench`: what things take here, beside what one would otherwise use."""

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Final, NamedTuple

import click

from sequencer.cli.options import json_option, print_json

if TYPE_CHECKING:
    from sequencer.records.pitch import Pitch


class Measured(NamedTuple):
    """One row: our seconds, the other's (if it is there), what that is, and what must hold."""

    what: str
    ours: float
    other: float | None
    against: str
    must: str
    holds: bool

    @property
    def ratio(self) -> float | None:
        """Our seconds to a second of the other's."""
        return self.ours / self.other if self.other else None


def help_page() -> Measured:
    """Measure `sequencer --help` beside a bare `import argparse`."""
    ours = _process([sys.executable, "-m", "sequencer", "--help"])
    other = _process([sys.executable, "-c", "import argparse"])
    must = "1.5 times + 60 ms"
    return Measured("help", ours, other, "import argparse", must, ours <= 1.5 * other + 0.06)


def _process(command: list[str], runs: int = 9) -> float:
    def once() -> None:
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL)

    return _median(once, runs)


def _median(function: Callable[[], object], runs: int) -> float:
    times = []
    for _ in range(runs):
        began = time.perf_counter()
        function()
        times.append(time.perf_counter() - began)
    return statistics.median(times)


_PAINT: Final = """
import os, sys, time
class Painted:
    def on_mount(self):
        self.call_after_refresh(self.tell)
    def tell(self):
        with open(sys.argv[1], "w") as told:
            told.write(repr(time.time()))
        os._exit(0)
"""
_BARE: Final = (
    _PAINT
    + """
from textual.app import App
from textual.widgets import Static
class Bare(Painted, App):
    def compose(self):
        yield Static("bare")
        yield Static("as many widgets as ours")
Bare().run(headless=True)
"""
)
_OURS: Final = (
    _PAINT
    + """
import tui.app
class Ours(Painted, tui.app.SequencerApp):
    CSS_PATH = os.path.join(os.path.dirname(tui.app.__file__), "app.tcss")
Ours(sys.argv[2]).run(headless=True)
"""
)


def first_paint() -> Measured:
    """Measure the first screen beside a bare app of the same library, each in its own process."""
    with tempfile.TemporaryDirectory() as folder:
        book = str(Path(folder) / "book.db")
        # In turns, so that what else the machine does falls on both alike.
        pairs = [(_painted(_OURS, book), _painted(_BARE, book)) for _ in range(9)]
    ours, other = (statistics.median(times) for times in zip(*pairs, strict=True))
    return Measured("first paint", ours, other, "bare app", "1.3 times", ours <= 1.3 * other)


def _painted(script: str, book: str) -> float:
    """Return the seconds from starting Python to the first painted screen."""
    with tempfile.TemporaryDirectory() as folder:
        program, told = Path(folder) / "paint.py", Path(folder) / "told"
        program.write_text(script, encoding="utf-8")
        began = time.time()
        subprocess.run([sys.executable, program, told, book], check=True, stdout=subprocess.DEVNULL)
        return float(told.read_text(encoding="utf-8")) - began


def logged_pitch() -> Measured:
    """Measure a pitch checked, on disk and replayed, beside a bare durable insert by sqlite3."""
    with tempfile.TemporaryDirectory() as folder:
        ours = _log_pitches(Path(folder) / "book.db")
        other = _bare_inserts(Path(folder) / "bare.db")
    return Measured("one pitch on disk", ours, other, "sqlite3 insert", "30 ms", ours <= 0.03)


def _log_pitches(path: Path) -> float:
    import datetime as dt

    from sequencer.live.session import Session
    from sequencer.records.game import Game
    from sequencer.records.store import open_book

    with open_book(path) as book:
        game = Game(id="g", game="g", date=dt.date(2026, 5, 1), us="Us", them="Them")
        session = Session(book, book.add_game(game))
        pitches = iter([_pitch(n) for n in range(200)])
        return _median(lambda: session.add(next(pitches)), 200)


def _pitch(n: int) -> "Pitch":
    from sequencer.records.pitch import Pitch

    result = ("ball", "called strike", "foul")[n % 3]
    return Pitch(pitch="fastball", cell="belt-left", result=result)


def _bare_inserts(path: Path) -> float:
    import sqlite3

    with sqlite3.connect(path, isolation_level=None) as connection:
        connection.execute("pragma journal_mode=wal")
        connection.execute("pragma synchronous=full")
        connection.execute("create table pitch (body text)")
        taken = _median(lambda: connection.execute("insert into pitch values ('ball')"), 200)
    connection.close()
    return taken


def random_games() -> Measured:
    """Measure random stage games beside scipy (`bench_games`)."""
    from sequencer.cli import bench_games

    return bench_games.random_games()


def random_games_by_nashpy() -> Measured:
    """Measure the same beside nashpy (`bench_games`)."""
    from sequencer.cli import bench_games

    return bench_games.random_games_by_nashpy()


def plan_games() -> Measured:
    """Measure stage games of the shape that plans have (`bench_games`)."""
    from sequencer.cli import bench_games

    return bench_games.plan_games()


def large_games() -> Measured:
    """Measure large stage games of that shape (`bench_games`)."""
    from sequencer.cli import bench_games

    return bench_games.large_games()


def one_hitter() -> Measured:
    """Measure a hitter's 600 pitches become a belief, beside scikit-learn on his swings' rows."""
    import numpy as np
    from sklearn.linear_model import LogisticRegression

    from sequencer.cli.bench_review import season
    from sequencer.estimates import hitter, hitter_data, league
    from sequencer.records.frames import read_log
    from sequencer.records.people import Person

    at, person = league.load("17-18"), Person(id="b", team="them", name="Bat", bats="R")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "season.csv"
        path.write_text("\n".join(season(600)) + "\n", encoding="utf-8")
        log = read_log(path).head(600)
    over = (log["side_in"].abs() < 10) & log["height_in"].between(19, 41)
    log["result"] = np.where(over, log["result"].replace("ball", "in play"), "ball")
    hitter.believe(person, (), log, at)
    ours = _median(lambda: hitter.believe(person, (), log, at), 30)
    parts = [hitter_data.seen(log, "R", at).part(name) for name in ("swing", "miss", "foul")]
    rows = np.concatenate([part.load for part in parts]) * hitter.spread(at.level)
    came = np.concatenate([part.outcome for part in parts])
    other = _median(lambda: LogisticRegression(fit_intercept=False).fit(rows, came), 10)
    return Measured("600 pitches of one", ours, other, "scikit-learn, rows", "5 ms", ours <= 0.005)


def nine_hitters() -> Measured:
    """Measure a plan of nine hitters (`bench_plans`)."""
    from sequencer.cli import bench_plans

    return bench_plans.nine_hitters()


def one_hitter_anew() -> Measured:
    """Measure one hitter planned from fresh beliefs (`bench_plans`)."""
    from sequencer.cli import bench_plans

    return bench_plans.one_hitter_anew()


def season_read() -> Measured:
    """Measure a log of 10,000 pitches read and planned against (`bench_review`)."""
    from sequencer.cli import bench_review

    return bench_review.season_read()


def review_of_a_season() -> Measured:
    """Measure the review of such a log, beside one permutation test (`bench_review`)."""
    from sequencer.cli import bench_review

    return bench_review.review_of_a_season()


def advice_at_once() -> Measured:
    """Measure advice from the tables there are (`bench_live`)."""
    from sequencer.cli import bench_live

    return bench_live.advice_at_once()


def planned_anew() -> Measured:
    """Measure a hitter planned anew after a pitch (`bench_live`)."""
    from sequencer.cli import bench_live

    return bench_live.planned_anew()


def large_book_opened() -> Measured:
    """Measure start to dugout on a large book (`bench_tui`)."""
    from sequencer.cli import bench_tui

    return bench_tui.large_book_opened()


def key_to_paint() -> Measured:
    """Measure a key until it is drawn, advice at work on a large book (`bench_tui`)."""
    from sequencer.cli import bench_tui

    return bench_tui.key_to_paint()


def loop_held_up() -> Measured:
    """Measure what holds up the event loop meanwhile (`bench_tui`)."""
    from sequencer.cli import bench_tui

    return bench_tui.loop_held_up()


def first_visits() -> Measured:
    """Measure what a first visit to a place, a list or help holds up (`bench_tui`)."""
    from sequencer.cli import bench_tui

    return bench_tui.first_visits()


#: Every measurement, in the order it is shown.
MEASUREMENTS: Final[dict[str, Callable[[], Measured]]] = {
    "help": help_page,
    "paint": first_paint,
    "large-book": large_book_opened,
    "keys": key_to_paint,
    "loop": loop_held_up,
    "visits": first_visits,
    "pitch": logged_pitch,
    "games": random_games,
    "nashpy": random_games_by_nashpy,
    "plan-games": plan_games,
    "large-games": large_games,
    "hitter": one_hitter,
    "plan": nine_hitters,
    "one-plan": one_hitter_anew,
    "season": season_read,
    "review": review_of_a_season,
    "advice": advice_at_once,
    "anew": planned_anew,
}


@click.command(epilog="Example: sequencer bench --only pitch")
@click.option("--only", type=click.Choice(list(MEASUREMENTS)), multiple=True, help="Just these.")
@json_option
def command(only: tuple[str, ...], as_json: bool) -> None:
    """Measure this machine: our seconds beside those of what one would otherwise use.

    Exit code 1 when something is slower than it must be.
    """
    rows = [MEASUREMENTS[name]() for name in only or MEASUREMENTS]
    if as_json:
        print_json([row._asdict() | {"ratio": row.ratio} for row in rows])
    else:
        _table(rows)
    if not all(row.holds for row in rows):
        sys.exit(1)


def _table(rows: list[Measured]) -> None:
    click.echo(f"{'what':22}{'ours':>11}{'other':>11}{'ratio':>8}  against / must be within")
    for row in rows:
        ours = f"{1000 * row.ours:.2f} ms"
        other = "-" if row.other is None else f"{1000 * row.other:.2f} ms"
        ratio = "-" if row.ratio is None else f"{row.ratio:.3g}"
        mark = "" if row.holds else "  TOO SLOW"
        click.echo(
            f"{row.what:22}{ours:>11}{other:>11}{ratio:>8}  {row.against} / {row.must}{mark}"
        )
