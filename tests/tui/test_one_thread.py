import asyncio
import gc
import threading

import pytest

from tui.one_thread import OneThread, Stopped


async def test_work_that_nobody_waits_for_is_stopped_and_the_next_begins_at_once() -> None:
    thread, began, ended = OneThread("test"), threading.Event(), threading.Event()

    def endless() -> None:
        began.set()
        try:
            while True:
                pass
        finally:
            ended.set()

    waiting = asyncio.create_task(thread.run_stoppable(endless))
    await asyncio.to_thread(began.wait, 10)
    waiting.cancel()
    with pytest.raises(asyncio.CancelledError):
        await waiting
    assert await asyncio.to_thread(ended.wait, 10)
    assert await asyncio.wait_for(thread.run(lambda: 7), 10) == 7
    thread.end()


async def test_what_was_not_asked_to_be_stoppable_is_done_to_its_end() -> None:
    thread, began, go, done = (OneThread("test"), *(threading.Event() for _ in range(3)))

    def commit() -> None:
        began.set()
        go.wait(10)
        done.set()

    waiting = asyncio.create_task(thread.run(commit))
    await asyncio.to_thread(began.wait, 10)
    waiting.cancel()
    with pytest.raises(asyncio.CancelledError):
        await waiting
    go.set()
    await thread.run(lambda: None)
    assert done.is_set()
    thread.end()


async def test_what_waits_for_its_turn_is_never_begun_once_cancelled() -> None:
    thread, go, ran = OneThread("test"), threading.Event(), threading.Event()
    first = asyncio.create_task(thread.run(go.wait, 10))
    second = asyncio.create_task(thread.run_stoppable(ran.set))
    await asyncio.sleep(0)
    second.cancel()
    with pytest.raises(asyncio.CancelledError):
        await second
    go.set()
    await first
    await thread.run(lambda: None)
    assert not ran.is_set()
    thread.end()


async def test_a_stop_that_comes_as_work_ends_does_not_hit_the_work_after_it() -> None:
    thread = OneThread("test")
    for turn in range(200):
        short = asyncio.create_task(thread.run_stoppable(sum, range(50 * turn)))
        await asyncio.sleep(0)
        short.cancel()
        assert await thread.run(lambda: sum(range(500))) == 124750
        await asyncio.gather(short, return_exceptions=True)
    thread.end()


async def test_an_import_under_way_is_not_stopped_midway(monkeypatch: pytest.MonkeyPatch) -> None:
    thread, began, go = OneThread("test"), threading.Event(), threading.Event()
    seen: list[str] = []
    held = {"__name__": "importlib.tests_own", "began": began, "go": go, "seen": seen}
    exec("def whole():\n began.set()\n while not go.is_set(): pass\n seen.append('whole')", held)

    def work() -> None:
        held["whole"]()  # type: ignore[operator]
        while True:
            pass

    waiting = asyncio.create_task(thread.run_stoppable(work))
    await asyncio.to_thread(began.wait, 10)
    waiting.cancel()
    with pytest.raises(asyncio.CancelledError):
        await waiting
    go.set()
    await asyncio.wait_for(thread.run(lambda: None), 10)
    assert seen == ["whole"]
    thread.end()


def test_a_stop_that_lands_in_a_callback_of_the_interpreter_is_no_failure() -> None:
    def stopped(_phase: str, _info: object) -> None:
        raise Stopped

    gc.callbacks.append(stopped)
    try:
        gc.collect()
    finally:
        gc.callbacks.remove(stopped)
