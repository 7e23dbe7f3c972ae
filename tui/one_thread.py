"""A thread that does one thing after another, awaited from the event loop."""

import asyncio
import queue
import threading
from collections.abc import Callable
from concurrent.futures import Future
from typing import Any, TypeVar

T = TypeVar("T")


class OneThread:
    """Work in order on a thread of its own; what is cancelled before its turn is never begun.

    The thread is a daemon: a computation under way does not keep the program from ending. What
    must end well (a commit, closing the book) is awaited by whoever asked for it.
    """

    def __init__(self, name: str) -> None:
        self._waiting: queue.SimpleQueue[tuple[Future[Any], Callable[[], Any]] | None] = (
            queue.SimpleQueue()
        )
        threading.Thread(target=self._work, name=name, daemon=True).start()

    async def run(self, work: Callable[..., T], *args: Any) -> T:
        """Return what `work(*args)` returns or raises, done on the thread."""
        future: Future[T] = Future()
        self._waiting.put((future, lambda: work(*args)))
        return await asyncio.wrap_future(future)

    def put(self, work: Callable[[], Any]) -> None:
        """Do something in its turn; nobody waits for it."""
        self._waiting.put((Future(), work))

    def end(self) -> None:
        """End the thread once what is waiting is done."""
        self._waiting.put(None)

    def _work(self) -> None:
        while (item := self._waiting.get()) is not None:
            future, work = item
            if not future.set_running_or_notify_cancel():
                continue
            try:
                future.set_result(work())
            except BaseException as error:
                future.set_exception(error)
