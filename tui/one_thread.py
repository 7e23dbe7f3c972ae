"""A thread that does one thing after another, awaited from the event loop."""

import asyncio
import ctypes
import queue
import sys
import threading
from collections.abc import Callable
from concurrent.futures import Future
from typing import Any, Final, TypeVar

T = TypeVar("T")
#: Code that is not stopped midway: a module half imported or a connection half used is no good
#: to whoever comes next. Names modules begin with.
_WHOLE: Final = ("importlib", "_frozen_importlib", "sqlalchemy", "sqlite3", "tui.wire")
#: Seconds until work that could not be stopped where it was is tried again.
_AGAIN_S: Final = 0.01
#: Seconds after which a stop is taken for lost: raised in a callback that keeps errors to itself.
_LOST_S: Final = 0.5


class Stopped(BaseException):
    """Raised inside work that nobody waits for any more; no `except Exception` keeps it alive."""


class OneThread:
    """Work in order on a thread of its own; what is cancelled before its turn is never begun.

    The thread is a daemon: a computation under way does not keep the program from ending. What
    must end well (a commit, closing the book) is awaited by whoever asked for it.
    """

    def __init__(self, name: str) -> None:
        self._waiting: queue.SimpleQueue[tuple[Future[Any], Callable[[], Any]] | None] = (
            queue.SimpleQueue()
        )
        self._lock = threading.Lock()
        self._stoppable: Future[Any] | None = None
        self._thread = threading.Thread(target=self._work, name=name, daemon=True)
        self._thread.start()

    async def run(self, work: Callable[..., T], *args: Any) -> T:
        """Return what `work(*args)` returns or raises, done on the thread."""
        future: Future[T] = Future()
        self._waiting.put((future, lambda: work(*args)))
        return await asyncio.wrap_future(future)

    async def run_stoppable(self, work: Callable[..., T], *args: Any) -> T:
        """Return what `work(*args)` returns or raises; whoever cancels the wait stops the work.

        It ends at its next step in Python (what runs in a library ends first), so it must hold
        nothing that has to be put back: computing, not writing.
        """
        future: Future[T] = Future()

        def stoppable() -> T:
            self._begin(future)
            try:
                return work(*args)
            finally:
                self._end()

        self._waiting.put((future, stoppable))
        done = asyncio.wrap_future(future)
        done.add_done_callback(_heard)
        try:
            return await asyncio.shield(done)
        except asyncio.CancelledError:
            self._stop(future, asyncio.get_running_loop())
            raise

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
                done = work()
            except BaseException as error:
                self._end()
                future.set_exception(error)
            else:
                future.set_result(done)

    def _begin(self, future: "Future[Any]") -> None:
        with self._lock:
            self._stoppable = future

    def _end(self) -> None:
        """Let nothing be stopped from here on: a stop on its way is called back."""
        with self._lock:
            self._stoppable = None
            _raise_in(self._thread, None)

    def _stop(self, future: "Future[Any]", loop: asyncio.AbstractEventLoop) -> None:
        """Stop work where it may be stopped, else look again soon."""
        if future.cancel() or future.done():
            return
        wait = _AGAIN_S
        with self._lock:
            ours = self._stoppable is future
            if ours and not _in_one_piece(self._thread):
                _raise_in(self._thread, Stopped)
                wait = _LOST_S
        if not future.done():
            loop.call_later(wait, self._stop, future, loop)


def _heard(done: "asyncio.Future[Any]") -> None:
    """Take note of how work ended that nobody may wait for by now."""
    if not done.cancelled():
        done.exception()


def _raise_in(thread: threading.Thread, error: type[BaseException] | None) -> None:
    """Raise an error at a thread's next step; None calls one back that has not been raised yet."""
    raised = ctypes.py_object(error) if error else None
    ctypes.pythonapi.PyThreadState_SetAsyncExc(ctypes.c_ulong(thread.ident or 0), raised)


def _in_one_piece(thread: threading.Thread) -> bool:
    """Return whether a thread is in code that is not stopped midway."""
    frame = sys._current_frames().get(thread.ident or 0)
    while frame is not None:
        if str(frame.f_globals.get("__name__", "")).startswith(_WHOLE):
            return True
        frame = frame.f_back
    return False
