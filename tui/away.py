"""Computing in a process of its own, so that it never holds up a key.

In a thread it would: small arrays and frames of texts hold Python's lock, and each time the screen
gives it up it waits for its turn. `Away` is to the app what a `Thinker` is: each call is made in a
process that is kept warm, with its own connection to the book. A call that is stopped here (see
`one_thread`) is stopped there.
"""

import asyncio
import contextlib
import os
import queue
import signal
import subprocess
import sys
import threading
from collections.abc import Callable
from functools import partial
from typing import Any, Final, NamedTuple

from sequencer.errors import BookError
from tui.one_thread import OneThread
from tui.wire import Wire

#: Seconds between two looks at whether a call is to be stopped.
_LOOK_S: Final = 0.05
_PROGRAM: Final = "from tui.away import serve; serve()"
#: Matrices here are small: with a thread for each processor a plan takes as long and half as much
#: processor again (1.48 s, 2.15 s of processor; with one 1.40 s, 1.39 s), a review twice as much.
_ONE_PROCESSOR: Final = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"}


class _Told(NamedTuple):
    """Stands for the function given as this argument, which is called where the call came from."""

    at: int


class Away:
    """A `Thinker` in another process; made, asked and closed on one thread.

    Raises
    ------
    CoachError
        If the book cannot be opened; what a call raises there is raised here.
    """

    def __init__(self, path: str, nice: int = 0) -> None:
        self._path, self._nice, self._calls = path, nice, 0
        self._start()

    def __getattr__(self, name: str) -> Callable[..., Any]:
        if name.startswith("_"):
            raise AttributeError(name)
        return partial(self._ask, name)

    def close(self) -> None:
        """End the process, whatever it is at: it only computes."""
        self._process.kill()
        self._process.wait()
        for pipe in (self._process.stdin, self._process.stdout):
            if pipe is not None:
                with contextlib.suppress(OSError):
                    pipe.close()

    def _start(self) -> None:
        places = os.pathsep.join(place for place in sys.path if place)
        self._process = subprocess.Popen(
            [sys.executable, "-P", "-c", _PROGRAM, self._path, str(self._nice)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env=_ONE_PROCESSOR | os.environ | {"PYTHONPATH": places},
        )
        assert self._process.stdin is not None and self._process.stdout is not None
        self._wire = Wire(self._process.stdout, self._process.stdin)
        self._heard: queue.SimpleQueue[tuple[Any, ...] | None] = queue.SimpleQueue()
        listen = partial(_listen, self._wire, self._heard)
        threading.Thread(target=listen, name="heard", daemon=True).start()
        try:
            self._answer(0, ())
        except BaseException:
            self.close()
            raise

    def _ask(self, name: str, *args: Any) -> Any:
        if self._process.poll() is not None:
            self.close()
            self._start()
        self._calls += 1
        call = self._calls
        sent = tuple(_Told(at) if callable(arg) else arg for at, arg in enumerate(args))
        try:
            self._wire.send(("do", call, name, sent))
        except OSError as error:
            raise _gone() from error
        try:
            return self._answer(call, args)
        except BaseException:
            with contextlib.suppress(OSError):
                self._wire.send(("stop", call))
            raise

    def _answer(self, call: int, args: tuple[Any, ...]) -> Any:
        """Wait for the answer to a call, and tell what is told meanwhile."""
        while True:
            try:
                # A step of Python now and then, at which whoever waits can be stopped.
                heard = self._heard.get(timeout=_LOOK_S)
            except queue.Empty:
                continue
            if heard is None:
                raise _gone()
            kind, of, *what = heard
            if of != call:
                continue
            if kind == "told":
                args[what[0]](*what[1])
            elif kind == "failed":
                raise what[0]
            else:
                return what[0]


def _listen(wire: Wire, heard: "queue.SimpleQueue[tuple[Any, ...] | None]") -> None:
    with contextlib.suppress(EOFError, OSError, ValueError):
        while True:
            heard.put(wire.receive())
    heard.put(None)


def _gone() -> BookError:
    return BookError("What works things out has ended unexpectedly: ask again.")


# the other process


def serve() -> None:
    """Compute for another process, until that is gone; the arguments are the book and how nice."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    path, nice = sys.argv[1], int(sys.argv[2])
    if hasattr(os, "nice"):
        os.nice(nice)
    wire = Wire(os.fdopen(os.dup(0), "rb"), os.fdopen(os.dup(1), "wb"))
    # What a library may print is no message.
    nowhere = os.open(os.devnull, os.O_RDWR)
    os.dup2(nowhere, 0)
    os.dup2(nowhere, 1)
    asyncio.run(_Serving(wire).run(path))


class _Serving:
    """Answers one call after another on a thread; a call is stopped when told so."""

    def __init__(self, wire: Wire) -> None:
        self._wire, self._work = wire, OneThread("work")
        self._tasks: dict[int, asyncio.Task[None]] = {}
        self._thinker: Any = None

    async def run(self, path: str) -> None:
        """Open the book, say so, and answer."""
        await self._made(0, self._work.run(_open, path), self._opened)
        loop = asyncio.get_running_loop()
        threading.Thread(target=self._listen, args=(loop,), daemon=True).start()
        await asyncio.Event().wait()

    def _opened(self, thinker: Any) -> None:
        self._thinker = thinker

    def _listen(self, loop: asyncio.AbstractEventLoop) -> None:
        with contextlib.suppress(EOFError, OSError):
            while True:
                loop.call_soon_threadsafe(self._take, self._wire.receive())
        os._exit(0)

    def _take(self, message: tuple[Any, ...]) -> None:
        kind, call, *what = message
        if kind == "do":
            self._tasks[call] = asyncio.create_task(self._do(call, *what))
        elif call in self._tasks:
            self._tasks[call].cancel()

    async def _do(self, call: int, name: str, sent: tuple[Any, ...]) -> None:
        args = [self._telling(call, arg.at) if isinstance(arg, _Told) else arg for arg in sent]
        try:
            await self._made(call, self._done(name, args))
        finally:
            del self._tasks[call]

    async def _done(self, name: str, args: list[Any]) -> Any:
        return await self._work.run_stoppable(getattr(self._thinker, name), *args)

    def _telling(self, call: int, at: int) -> Callable[..., None]:
        return lambda *words: self._wire.send(("told", call, at, words))

    async def _made(self, call: int, work: Any, kept: Callable[[Any], None] | None = None) -> None:
        """Await work and send what came of it, or that it came to something only kept here."""
        try:
            value = await work
            message = ("done", call, None if kept else value)
            if kept:
                kept(value)
        except Exception as error:
            message = ("failed", call, error)
        try:
            self._wire.send(message)
        except OSError:
            os._exit(0)
        except Exception as error:
            words = f"{type(message[2]).__name__}: {message[2]} ({error})"
            self._wire.send(("failed", call, RuntimeError(words)))


def _open(path: str) -> Any:
    from tui.thinking import Thinker

    return Thinker(path)
