"""Random keys at the dugout: `python -m tests.tui.monkey [KEYS] [SEED]`, 10,000 unless told.

Whatever is pressed, the program goes on; a result key of the dugout is a pitch saved or a pitch
refused in a sentence; every pitch said to be saved is a row of the book ever after; and the game on
the screen is the one the book gives when it is opened again.
"""

import asyncio
import random
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

import pytest
from textual import events
from textual.app import App

from sequencer.live.session import Session
from sequencer.records.entry import Done
from sequencer.records.keymaps import RIGHT_HANDED
from sequencer.records.pitch import Pitch
from sequencer.records.store import open_book
from tests.tui import clubs
from tests.tui.driving import Driven, opened
from tui.screens.dugout import DugoutScreen

_NAMES: Final = {
    " ": "space",
    "<": "less_than_sign",
    ">": "greater_than_sign",
    ":": "colon",
    "#": "number_sign",
    "+": "plus",
    ",": "comma",
    ".": "full_stop",
    "'": "apostrophe",
    "-": "minus",
    "/": "slash",
    "\\": "backslash",
    "[": "left_square_bracket",
    "]": "right_square_bracket",
    "?": "question_mark",
}
#: Keys pressed at one go before anything is waited for.
_BURST: Final = 40
#: Other keys, and how often beside a key of the grammar: out of dialogs and back to the dugout.
_OTHERS: Final = {"escape": 6, "enter": 4, "backspace": 2, "up": 1, "down": 1, "f1": 0.3, "f4": 2}
#: Results and types come oftener than the rest, as in a game.
_OFTEN: Final = "bblmfoy1234"


def send(app: App[Any], key: str) -> None:
    """Press a key, a character or a name of Textual's, without waiting for what it does."""
    character = key if len(key) == 1 else {"enter": "\r", "tab": "\t", "space": " "}.get(key)
    app.post_message(events.Key(_NAMES.get(key, key), character))


async def taken(app: App[Any]) -> None:
    """Wait until every key sent has been taken by the screen it went to."""
    done = asyncio.Event()
    app.call_later(lambda: app.screen.call_later(done.set))
    await asyncio.wait_for(done.wait(), 60)


@dataclass
class Heard:
    """What the dugout said of pitches, listened to while keys are pressed."""

    saved: list[Pitch] = field(default_factory=list)
    refused: int = 0

    def listen(self, patch: pytest.MonkeyPatch) -> None:
        """Listen to every finished pitch of the dugout."""
        log = DugoutScreen._log

        async def logged(screen: DugoutScreen, done: Done) -> None:
            await log(screen, done)
            if screen._told.startswith("Not logged: "):
                self.refused += 1
            else:
                self.saved.append(done.pitch)

        patch.setattr(DugoutScreen, "_log", logged)


def drawn(dice: random.Random, number: int, more: Sequence[str] = ()) -> list[str]:
    """Draw keys: those of the grammar, and what opens and closes things."""
    grammar = [key for key in RIGHT_HANDED.acts if len(key) == 1] + list(_OFTEN)
    keys = [*grammar, "space", *_OTHERS, *more]
    weights = [1.0] * (len(grammar) + 1) + list(_OTHERS.values()) + [0.3] * len(more)
    return dice.choices(keys, weights, k=number)


async def press(driven: Driven, keys: Sequence[str]) -> None:
    """Press keys in bursts; the app must be there after each."""
    for first in range(0, len(keys), _BURST):
        for key in keys[first : first + _BURST]:
            send(driven.app, key)
        await taken(driven.app)
        assert driven.app.is_running


async def same_as_book(driven: Driven, path: str, heard: Heard) -> None:
    """Hold what was said and shown against the book, opened anew."""
    while len(driven.app.screen_stack) > 1:
        await driven.press("escape")
    await driven.press("escape", "f4", "escape")
    await driven.until_place("dugout")
    await taken(driven.app)
    view = driven.screen._view
    with open_book(path) as book:
        game = book.find_game("tonight")
        assert game is not None
        state = Session(book, game).state
        rows = book.rows(game.id)
    in_book = [row.pitch.result for row in rows if row.pitch is not None]
    said = [pitch.result for pitch in heard.saved]
    assert in_order(said, in_book), f"{len(said)} said to be saved, {len(in_book)} in the book"
    assert view.stamp == rows[-1].seq
    shown = (view.inning, view.half, view.outs, view.balls, view.strikes, view.score_them)
    count, outs = state.count, state.outs
    kept = (state.inning, state.half, outs, count.balls, count.strikes, state.score_them)
    assert shown == kept
    assert [bool(on) for on in view.bases] == [bool(on) for on in state.bases]


def in_order(few: Sequence[str], many: Sequence[str]) -> bool:
    """Whether all of the few are among the many, in their order."""
    left = iter(many)
    return all(one in left for one in few)


async def run(folder: Path, number: int, seed: int, advice: str, more: Sequence[str] = ()) -> Heard:
    """Press so many random keys on a game of the invented clubs, the book held against it."""
    path = clubs.book_at(folder / "book.db")
    with open_book(path) as book:
        clubs.game(book, "tonight", clubs.DAY, advice)
    heard, dice = Heard(), random.Random(seed)
    with pytest.MonkeyPatch.context() as patch:
        heard.listen(patch)
        left = number
        while left:
            part = min(left, 1000)
            async with opened(path, game="tonight", place="dugout") as driven:
                await press(driven, drawn(dice, part, more))
                await same_as_book(driven, path, heard)
            left -= part
    return heard


def main() -> None:
    """Press the keys, and say what came of them."""
    number = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    began = time.perf_counter()
    with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        patch.setattr("tui.settings.settings_file", lambda: Path(folder) / "screen.json")
        heard = asyncio.run(run(Path(folder), number, seed, "ask", ("f2", "f5")))
    took = time.perf_counter() - began
    sys.stdout.write(
        f"{number:,} keys from seed {seed} in {took:.0f} s: {len(heard.saved):,} pitches said to "
        f"be saved are in the book, {heard.refused:,} refused in a sentence; the program went on.\n"
    )


if __name__ == "__main__":
    main()
