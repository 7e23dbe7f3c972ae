"""Real processes on one book: several tablets log to one game, and none outlives the server."""

import asyncio
import os
import signal
import subprocess
import sys
import time
from functools import partial
from pathlib import Path

import pytest

from sequencer.records.store import open_book
from tests.serve.serving import served, tablet, until

#: Signs and results of two scorers, told apart by what they log.
HERS, HIS = ("1sl", "1sb"), ("2xf", "2xb")


def pitches(book: str) -> list[tuple[str, str]]:
    """Return type and result of every pitch logged, in order."""
    with open_book(book) as opened:
        rows = opened.rows("tonight")
    return [(row.pitch.pitch, row.pitch.result) for row in rows if row.pitch is not None]


def logged(book: str, n: int) -> bool:
    """Return whether the game has so many pitches."""
    return len(pitches(book)) == n


async def test_two_tablets_logging_by_turns_lose_nothing_and_each_sees_the_others_pitches(
    book: str,
) -> None:
    async with served(book) as to, tablet(to) as hers, tablet(to) as his:
        for one in (hers, his):
            await one.until_heard("Owls")
            await one.until_heard("signs:")
        turns = [
            (HERS[0], hers, his),
            (HIS[0], his, hers),
            (HERS[1], hers, his),
            (HIS[1], his, hers),
        ]
        for n, (keys, one, other) in enumerate(turns, 1):
            hers.heard = his.heard = ""
            await one.tap(keys)
            await until(partial(logged, book, n), f"pitch {n}")
            await other.until_heard(f"{n} of")
    assert pitches(book) == [
        ("fastball", "called strike"),
        ("curveball", "foul"),
        ("fastball", "ball"),
        ("curveball", "ball"),
    ]


async def test_two_tablets_logging_at_the_same_time_lose_nothing(book: str) -> None:
    async with served(book) as to, tablet(to) as hers, tablet(to) as his:
        for one in (hers, his):
            await one.until_heard("signs:")
        for _ in range(6):
            await asyncio.gather(hers.tap("1xb"), his.tap("2xb"))
        await until(lambda: len(pitches(book)) == 12, "twelve pitches")
    kinds = [kind for kind, _ in pitches(book)]
    assert (kinds.count("fastball"), kinds.count("curveball")) == (6, 6)


async def test_leaving_the_ui_ends_the_connection(book: str) -> None:
    async with served(book) as to, tablet(to) as one:
        await one.until_heard("signs:")
        await one.tap("\x11")
        await until(lambda: one.closed, "the end")


def start(book: str) -> tuple["subprocess.Popen[str]", str]:
    """Run `sequencer serve` as a person would; returns the process and its line."""
    words = [sys.executable, "-m", "sequencer", "serve", "--book", book, "--port", "0"]
    environment = os.environ | {"PYTHONUNBUFFERED": "1"}
    process = subprocess.Popen(
        words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=environment
    )
    assert process.stdout is not None
    return process, process.stdout.readline()


@pytest.mark.skipif(sys.platform == "win32", reason="a console's Ctrl+C cannot be sent there")
def test_one_line_has_the_address_and_ctrl_c_ends_it_cleanly(book: str) -> None:
    process, line = start(book)
    assert "http://127.0.0.1:" in line
    assert "?start=" in line
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=20)
    assert (process.returncode, out, err) == (0, "", "")


@pytest.mark.skipif(not Path("/proc").exists(), reason="processes are looked up in /proc")
async def test_a_killed_server_takes_its_tablets_with_it_and_none_knows_the_token(
    book: str,
) -> None:
    process, line = await asyncio.to_thread(start, book)
    address = next(word for word in line.split() if word.startswith("http"))

    class There:
        start = address
        at = address.partition("/?")[0]
        ws = at.replace("http", "ws", 1) + "/ws"

    async with tablet(There()) as one:  # type: ignore[arg-type]
        await one.until_heard("signs:")
        children = Path(f"/proc/{process.pid}/task/{process.pid}/children").read_text().split()
        assert len(children) == 1
        about = Path(f"/proc/{children[0]}")
        token = address.rpartition("=")[2].encode()
        for what in ("environ", "cmdline"):
            assert token not in (about / what).read_bytes()
        process.kill()
        process.communicate()
        await until(lambda: not about.exists() or "Z" in _state(about), "the tablet's process")


def _state(about: Path) -> str:
    try:
        return (about / "stat").read_text().rpartition(")")[2].split()[0]
    except OSError:
        return "Z"


@pytest.mark.skipif(sys.platform == "win32", reason="signals are another matter there")
async def test_ctrl_c_with_a_tablet_open_keeps_what_was_logged_and_is_quick(book: str) -> None:
    async with served(book) as to, tablet(to) as one:
        await one.until_heard("signs:")
        await one.tap("1sl")
        await until(lambda: len(pitches(book)) == 1, "a pitch")
        began = time.monotonic()
        to.server.stopping.set()
        await until(lambda: one.closed, "the end")
        assert time.monotonic() - began < 5
