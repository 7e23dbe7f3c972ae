"""Real processes on one book: several tablets log to one game, and none outlives the server."""

import asyncio
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path

import pytest

from sequencer.records.store import open_book
from tests.serve.serving import Start, served, tablet, until


def pitches(book: str) -> list[tuple[str, str]]:
    """Return type and result of every pitch logged, in order."""
    with open_book(book) as opened:
        rows = opened.rows("tonight")
    return [(row.pitch.pitch, row.pitch.result) for row in rows if row.pitch is not None]


def logged(book: str, n: int) -> bool:
    """Return whether the game has so many pitches."""
    return len(pitches(book)) == n


async def test_two_tablets_log_to_one_game_and_lose_nothing(book: str) -> None:
    async with served(book) as to, tablet(to) as hers, tablet(to) as his:
        for one in (hers, his):
            await one.until_heard("signs:")
        # By turns, each seeing the other's pitches; what he has half typed stays.
        turns = [("1sl", hers, his), ("2x", his, hers), ("1sb", hers, his), ("f", his, hers)]
        n = 0
        for keys, one, other in turns:
            hers.heard = his.heard = ""
            await one.tap(keys)
            if keys[-1] != "x":
                n += 1
                await until(partial(logged, book, n), f"pitch {n}")
                await other.until_heard(f"{n} of")
        assert pitches(book) == [
            ("fastball", "called strike"),
            ("fastball", "ball"),
            ("curveball", "foul"),
        ]
        # And at the same time.
        for _ in range(6):
            await asyncio.gather(hers.tap("1xb"), his.tap("2xb"))
        await until(partial(logged, book, 15), "twelve more")
    kinds = [kind for kind, _ in pitches(book)[3:]]
    assert (kinds.count("fastball"), kinds.count("curveball")) == (6, 6)


@pytest.mark.soak
async def test_leaving_ends_one_tablet_and_stopping_the_server_the_others_with_all_kept(
    book: str,
) -> None:
    async with served(book) as to, tablet(to) as one, tablet(to) as other:
        for each in (one, other):
            await each.until_heard("signs:")
        await one.tap("\x11")
        await until(lambda: one.closed, "the end of one")
        assert not other.closed
        await other.tap("1sl")
        await until(partial(logged, book, 1), "a pitch")
        began = time.monotonic()
        to.server.stopping.set()
        await until(lambda: other.closed, "the end")
        assert time.monotonic() - began < 5


@contextmanager
def started(book: str) -> Iterator[tuple["subprocess.Popen[str]", str]]:
    """Run `sequencer serve` as a person would; gives the process and its line."""
    words = [sys.executable, "-m", "sequencer", "serve", "--book", book, "--port", "0"]
    environment = os.environ | {"PYTHONUNBUFFERED": "1"}
    pipe = subprocess.PIPE
    with subprocess.Popen(words, stdout=pipe, stderr=pipe, text=True, env=environment) as process:
        assert process.stdout is not None
        try:
            yield process, process.stdout.readline()
        finally:
            process.kill()


@pytest.mark.skipif(sys.platform == "win32", reason="a console's Ctrl+C cannot be sent there")
def test_one_line_has_the_address_and_ctrl_c_ends_it_cleanly(book: str) -> None:
    with started(book) as (process, line):
        assert "http://127.0.0.1:" in line
        assert "?start=" in line
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=20)
    assert (process.returncode, out, err) == (0, "", "")


@pytest.mark.skipif(not Path("/proc").exists(), reason="processes are looked up in /proc")
async def test_a_killed_server_takes_its_tablets_with_it_and_none_knows_the_token(
    book: str,
) -> None:
    with started(book) as (process, line):
        start = next(word for word in line.split() if word.startswith("http"))
        async with tablet(Start(start)) as one:
            await one.until_heard("signs:")
            (child,) = Path(f"/proc/{process.pid}/task/{process.pid}/children").read_text().split()
            about = Path(f"/proc/{child}")
            token = Start(start).token.encode()
            for what in ("environ", "cmdline"):
                assert token not in (about / what).read_bytes()
            process.kill()
            process.communicate()
            await until(lambda: _state(about) == "Z", "the end of the tablet's process")


def _state(about: Path) -> str:
    try:
        return (about / "stat").read_text().rpartition(")")[2].split()[0]
    except OSError:
        return "Z"
