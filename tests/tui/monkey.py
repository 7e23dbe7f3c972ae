"""Random hands at the whole program: `python -m tests.tui.monkey [KEYS] [SEED] [keys|hands]`.

Whatever is pressed, clicked or pasted and however the window is drawn, the program goes on; a
result key of the dugout is a pitch saved or a pitch refused in a sentence; every pitch said to be
saved is a row of the book ever after; and the game on the screen is the one the book gives when it
is opened again. 10,000 keys of seed 1 unless told, with advice on.
"""

import asyncio
import random
import sys
import tempfile
import time
from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final, NoReturn

import pytest
from textual import events
from textual.app import App

from sequencer.errors import BadInput
from sequencer.live.session import Session
from sequencer.records.entry import Done
from sequencer.records.keymaps import RIGHT_HANDED
from sequencer.records.pitch import Pitch
from sequencer.records.store import open_book
from tests.tui import clubs
from tests.tui.driving import Driven, opened
from tui.app import SequencerApp
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
#: Keys pressed at one go before anything is waited for, and between two times the book is asked.
_BURST: Final = 40
_PART: Final = 1000
#: Other keys, and how often beside a key of the grammar: out of dialogs and back to the dugout.
_OTHERS: Final = {"escape": 6, "enter": 4, "backspace": 2, "up": 1, "down": 1, "f1": 0.3, "f4": 2}
#: Keys that go elsewhere, and work there: forms, lists, the palette, plans and reviews asked for.
EVERYWHERE: Final = (
    *("f2", "f3", "f5", "f6", "f7", "f8", "f9"),
    *("tab", "delete", "ctrl+p", "ctrl+t", "ctrl+s", "left", "right", "pageup", "pagedown", "end"),
)
#: Results and types come oftener than the rest, as in a game.
_OFTEN: Final = "bblmfoy1234"
#: Windows a hand may draw, some of them too small for any place.
_WINDOWS: Final = ((80, 24), (120, 40), (200, 60), (60, 20), (96, 30), (113, 24), (20, 5))
_PASTES: Final = (
    "fastball, belt-middle, ball\n",
    "fastball, belt-middle, ball\n" * 30,
    "b",
    "",
    "\x1b[2J\x07 not a pitch",
    "undo",
    "\u05d3\u05e0\u05d4 \U0001f989 \u0633\u0644\u0645\u0649",
)


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
    """What the dugout said of pitches, listened to while keys are pressed.

    Attributes
    ----------
    saved : list of (str, Pitch)
        The game and the pitch said to be saved.
    refused : int
        Pitches refused in a sentence.
    aloud : bool
        Whether each pitch saved is a line of standard output at once.
    """

    saved: list[tuple[str, Pitch]] = field(default_factory=list)
    refused: int = 0
    aloud: bool = False

    def listen(self, patch: pytest.MonkeyPatch) -> None:
        """Listen to every finished pitch of the dugout."""
        log = DugoutScreen._log

        async def logged(screen: DugoutScreen, done: Done) -> None:
            game = screen._view.game_id
            await log(screen, done)
            if screen._told.startswith("Not logged: "):
                self.refused += 1
                return
            self.saved.append((game, done.pitch))
            if self.aloud:
                sys.stdout.write(f"{game} {done.pitch.result}\n")
                sys.stdout.flush()

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


async def meddle(driven: Driven, dice: random.Random) -> None:
    """Click somewhere, paste something, or draw the window otherwise."""
    how = dice.choice(("click", "click", "click", "paste", "window"))
    if how == "paste":
        driven.app.post_message(events.Paste(dice.choice(_PASTES)))
    elif how == "window":
        await driven.pilot.resize_terminal(*dice.choice(_WINDOWS))
    else:
        width, height = driven.app.size
        at = (dice.randrange(width), dice.randrange(height))
        await driven.pilot.click(offset=at, times=dice.choice((1, 1, 2)))
    await taken(driven.app)
    assert driven.app.is_running


async def same_as_book(driven: Driven, path: str, heard: Heard) -> None:
    """Hold what was said and shown against the book, opened anew."""
    while len(driven.app.screen_stack) > 1:
        await driven.press("escape")
    await driven.press("escape", "f4", "escape")
    await driven.until_place("dugout")
    await taken(driven.app)
    kept_in_order(path, heard.saved)
    view = driven.screen._view
    with open_book(path) as book:
        game = book.find_game(view.game_id)
        assert game is not None
        state = Session(book, game).state
        rows = book.rows(game.id)
    assert view.stamp == rows[-1].seq
    shown_pitches = [n for n, _ in view.marks if n > 0]
    assert shown_pitches == list(range(1, len(state.log) + 1))[-len(shown_pitches) :]
    shown = (view.inning, view.half, view.outs, view.balls, view.strikes, view.score_them)
    count, outs = state.count, state.outs
    kept = (state.inning, state.half, outs, count.balls, count.strikes, state.score_them)
    assert shown == kept
    assert [bool(on) for on in view.bases] == [bool(on) for on in state.bases]


def kept_in_order(path: str, saved: Sequence[tuple[str, Pitch]]) -> None:
    """Hold pitches said to be saved against the rows of their games."""
    with open_book(path) as book:
        assert book.check() == []
        for game in {game for game, _ in saved}:
            rows = [row.pitch.result for row in book.rows(game) if row.pitch is not None]
            said = [pitch.result for where, pitch in saved if where == game]
            assert in_order(said, rows), f"{game}: {len(said)} said to be saved, {len(rows)} there"


def in_order(few: Sequence[str], many: Sequence[str]) -> bool:
    """Whether all of the few are among the many, in their order."""
    left = iter(many)
    return all(one in left for one in few)


@asynccontextmanager
async def at_a_game(path: str) -> AsyncIterator[Driven]:
    """Open the game; whatever is pressed only the end of this leaves it, or lays other data out."""

    def not_here() -> NoReturn:
        raise BadInput("No demo data here.")

    async def stays(_: SequencerApp) -> None:
        return None

    leave = SequencerApp.action_quit
    with pytest.MonkeyPatch.context() as patch:
        for module in ("book_app", "everywhere"):
            patch.setattr(f"tui.{module}.demo_copy", not_here)
        patch.setattr(SequencerApp, "action_quit", stays)
        # A card is written beside the book, not into the home of whoever tests.
        patch.setenv("HOME", str(Path(path).parent))
        async with opened(path, game="tonight", place="dugout") as driven:
            yield driven
            await leave(driven.app)


def book_for(folder: Path, advice: str) -> str:
    """Return a book of the invented clubs with a game to log."""
    path = clubs.book_at(folder / "book.db")
    with open_book(path) as book:
        clubs.game(book, "tonight", clubs.DAY, advice)
    return path


async def run(
    folder: Path,
    number: int,
    seed: int,
    advice: str,
    more: Sequence[str] = (),
    *,
    hands: bool = False,
    aloud: bool = False,
) -> Heard:
    """Press so many random keys on a game of the invented clubs, the book held against it.

    With `hands` something is clicked, pasted or drawn larger or smaller after every few keys.
    """
    path, heard, dice = book_for(folder, advice), Heard(aloud=aloud), random.Random(seed)
    with pytest.MonkeyPatch.context() as patch:
        heard.listen(patch)
        for first in range(0, number, _PART):
            async with at_a_game(path) as driven:
                keys = drawn(dice, min(number - first, _PART), more)
                while keys:
                    part = dice.randint(1, 12) if hands else len(keys)
                    await press(driven, keys[:part])
                    keys = keys[part:]
                    if hands:
                        await meddle(driven, dice)
                if hands:
                    await driven.pilot.resize_terminal(80, 24)
                await same_as_book(driven, path, heard)
    return heard


def main() -> None:
    """Press the keys, and say what came of them."""
    number = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    how = sys.argv[3] if len(sys.argv) > 3 else "keys"
    began = time.perf_counter()
    with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        there = Path(sys.argv[4]) if len(sys.argv) > 4 else Path(folder)
        patch.setattr("tui.settings.settings_file", lambda: there / "screen.json")
        work = run(
            there, number, seed, "allowed", EVERYWHERE, hands=how == "hands", aloud=how == "aloud"
        )
        heard = asyncio.run(work)
    took = time.perf_counter() - began
    sys.stdout.write(
        f"{number:,} keys from seed {seed} in {took:.0f} s: {len(heard.saved):,} pitches said to "
        f"be saved are in the book, {heard.refused:,} refused in a sentence; the program went on.\n"
    )


if __name__ == "__main__":
    main()
