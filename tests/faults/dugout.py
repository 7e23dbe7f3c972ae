"""A real `sequencer log --plain` in a process of its own."""

import subprocess
import sys
from pathlib import Path
from types import TracebackType
from typing import IO, Self

PITCH = "fastball, down-away, ball"
MAIN = "from sequencer.cli import main; main()"


def arguments(book: Path, *more: str) -> list[str]:
    """Return the command line of one logging process."""
    return [sys.executable, "-c", MAIN, "log", "opener", "--plain", "--book", str(book), *more]


class Dugout:
    """One process: lines in, answers out."""

    def __init__(self, book: Path, *more: str) -> None:
        self.process = subprocess.Popen(
            arguments(book, *more),
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            encoding="utf-8",
        )

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self.process.poll() is None:
            self.process.kill()
        for pipe in (self.process.stdin, self.process.stdout, self.process.stderr):
            if pipe is not None and not pipe.closed:
                pipe.close() if pipe is not self.process.stdin else _quietly(pipe)
        self.process.wait()

    def send(self, line: str) -> None:
        """Write one line without waiting for its answer."""
        assert self.process.stdin is not None
        self.process.stdin.write(line + "\n")
        self.process.stdin.flush()

    def hear(self) -> str:
        """Return the next answer, "" once there are no more."""
        assert self.process.stdout is not None
        return self.process.stdout.readline().rstrip("\n")

    def say(self, line: str) -> str:
        """Send one line and return its answer."""
        self.send(line)
        return self.hear()

    def leave(self) -> int:
        """End the input and return the exit code."""
        assert self.process.stdin is not None
        self.process.stdin.close()
        return self.process.wait(20)


def _quietly(pipe: IO[str]) -> None:
    try:
        pipe.close()
    except BrokenPipeError:
        return


def run(book: Path, *lines: str) -> tuple[int, str, str]:
    """Run one process to its end; return exit code, standard output, standard error."""
    done = subprocess.run(
        arguments(book), input="\n".join(lines), capture_output=True, text=True, timeout=60
    )
    return done.returncode, done.stdout, done.stderr
