"""Garbage is looked for while nobody types, and never while a dialog could be put aside with it."""

import gc
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from tui.tidying import Tidying


class Shown:
    """An app as far as tidying looks at it."""

    def __init__(self) -> None:
        self.screen_stack: list[str] = ["place"]
        self.look: Callable[[], None] = lambda: None

    def set_interval(self, _: float, look: Callable[[], None]) -> None:
        """Keep what is to be called."""
        self.look = look


@pytest.fixture
def did(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[str]]:
    """What was done, in order."""
    done: list[str] = []
    for name in ("freeze", "collect", "unfreeze"):
        monkeypatch.setattr(gc, name, lambda name=name: done.append(name))
    monkeypatch.setattr(gc, "get_count", lambda: (0, 0, 9))
    before = gc.get_threshold()
    yield done
    assert gc.get_threshold() == before


def test_what_stays_is_put_aside_once_it_is_quiet_and_the_rest_is_collected(
    did: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    now = [100.0]
    monkeypatch.setattr("tui.tidying.time.monotonic", lambda: now[0])
    app, tidies = Shown(), Tidying()
    tidies.begin(app)
    app.look()
    assert did == []
    now[0] += 2.0
    app.screen_stack.append("dialog")
    app.look()
    assert did == ["collect"]
    app.screen_stack.pop()
    app.look()
    app.look()
    assert did == ["collect", "freeze", "collect"]
    tidies.typed()
    tidies.stays()
    app.look()
    assert did[3:] == []
    now[0] += 2.0
    app.look()
    assert did[3:] == ["freeze"]
    tidies.end()
    assert did[4:] == ["unfreeze"]


def test_python_collects_seldom_of_itself_while_an_app_runs(did: list[str]) -> None:
    before: Any = gc.get_threshold()
    tidies = Tidying()
    tidies.begin(Shown())
    assert gc.get_threshold()[:2] == before[:2]
    assert gc.get_threshold()[2] > 10 * before[2]
    tidies.end()
