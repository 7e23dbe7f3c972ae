"""Keys are drawn at once while advice is computed; the limits leave room for a busy machine."""

import asyncio
from pathlib import Path
from typing import Any

import pytest

from sequencer.cli.bench_book import large_book
from sequencer.cli.bench_tui import Taken, typed, walked
from sequencer.errors import BookError, NotInBook
from tests.tui import clubs
from tui.away import Away
from tui.one_thread import OneThread
from tui.thinking import Thinker
from tui.views import BY_BOOK, PlanStamp

#: Seconds: five times what must hold on a machine of one's own (`sequencer bench --only keys`).
_MEDIAN, _WORST = 0.25, 1.0


def test_a_key_is_drawn_at_once_while_advice_is_computed(tmp_path: Path) -> None:
    pytest.importorskip("pty")
    found = typed(large_book(tmp_path / "book.db", 600), 12)
    keys = Taken.of(found.keys)
    assert keys.many == 36
    assert keys.median < _MEDIAN
    assert keys.longest < _WORST
    # By the processor: waiting for a turn on a busy machine is nobody's blocking call.
    assert found.used < 0.1


@pytest.mark.soak
def test_no_first_visit_list_form_or_help_holds_a_key_up(tmp_path: Path) -> None:
    pytest.importorskip("pty")
    found = walked(large_book(tmp_path / "book.db", 600))
    assert all(used > 0.0 for _, used in found.steps)
    assert found.used < 0.1


@pytest.fixture
def away(a_season: str) -> Any:
    other = Away(a_season)
    yield other
    other.close()


async def test_another_process_says_what_this_one_would(a_season: str, away: Any) -> None:
    here = Thinker(a_season)
    stamp = PlanStamp("Owls", "vela", BY_BOOK)
    told: tuple[list[str], list[str]] = ([], [])
    assert away.traits("owl7") == here.traits("owl7")
    assert away.plan(stamp, ["owl7"], told[0].append) == here.plan(stamp, ["owl7"], told[1].append)
    assert told[0] == told[1] != []
    here.close()


def test_what_a_call_raises_there_is_raised_here(away: Any) -> None:
    with pytest.raises(NotInBook, match="No one in the book has the id nobody"):
        away.traits("nobody")
    with pytest.raises(AttributeError):
        away.no_such_call()
    assert away.traits("owl7").hitter_id == "owl7"


def test_a_process_that_was_killed_is_told_and_made_anew(away: Any) -> None:
    away._process.kill()
    away._process.wait()
    assert away.traits("owl7").hitter_id == "owl7"
    away._process.stdin.close()
    with pytest.raises((BookError, ValueError)):
        away.traits("owl7")


def test_a_book_that_cannot_be_opened_is_told_as_it_is_here(tmp_path: Path) -> None:
    (tmp_path / "book.db").write_text("no book\n" * 100)
    with pytest.raises(BookError) as here:
        Thinker(str(tmp_path / "book.db"))
    with pytest.raises(BookError) as there:
        Away(str(tmp_path / "book.db"))
    assert str(there.value) == str(here.value)


async def test_work_nobody_waits_for_is_stopped_in_the_other_process(away: Any) -> None:
    thread, told = OneThread("test"), asyncio.Event()
    loop = asyncio.get_running_loop()
    stamp = PlanStamp("Owls", "vela", BY_BOOK)

    def heard(_: str) -> None:
        loop.call_soon_threadsafe(told.set)

    nine = [person.id for person in clubs.OWLS] * 20
    plan = asyncio.create_task(thread.run_stoppable(away.plan, stamp, nine, heard))
    await told.wait()
    plan.cancel()
    with pytest.raises(asyncio.CancelledError):
        await plan
    # Planning 180 hitters takes far longer than this is given.
    async with asyncio.timeout(20):
        assert (await thread.run(away.traits, "owl7")).hitter_id == "owl7"
    thread.end()


def test_the_other_process_ends_when_nobody_listens(away: Any) -> None:
    away._process.stdin.close()
    assert away._process.wait(timeout=20) == 0
