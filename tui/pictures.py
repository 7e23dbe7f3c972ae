"""Pictures of the four places, made from the running program on demo data.

`python -m tui.pictures FOLDER` writes dugout.svg, plan.svg, review.svg and scouting.svg.
"""

import asyncio
import re
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Final

from textual.pilot import Pilot

from sequencer.errors import CoachError
from tui.app import SequencerApp
from tui.settings import Settings

SIZE: Final = (100, 30)
#: Keys pressed in the dugout before its picture is taken: part of an inning, with advice shown.
_KEYS: Final = ("O", *"1sl4cm1wb2Cb1qm1ab1dl4xy1sf")
_LONGEST_WAIT_S: Final = 60.0


async def take(book: str, game: str, folder: Path) -> list[Path]:
    """Write a picture of each place; returns the files."""
    app = SequencerApp(book, game, settings=Settings())
    made = []
    async with app.run_test(size=SIZE) as pilot:
        await _until(pilot, lambda: app.current_mode == "dugout" and app.advisor is not None)
        await pilot.press(*_KEYS, "N")
        dugout = app.place_screen("dugout")
        await _until(pilot, lambda: dugout.complete and dugout.draft.shown is not None)
        made.append(await _save(pilot, folder, "dugout"))
        for place in ("scouting", "plan", "review"):
            await app.action_place(place)
            await _until(pilot, lambda: getattr(app.screen, "complete", False))
            made.append(await _save(pilot, folder, place))
        await app.action_quit()
    return made


async def _until(pilot: Pilot[CoachError | None], true: Callable[[], bool]) -> None:
    async with asyncio.timeout(_LONGEST_WAIT_S):
        while not true():
            await pilot.pause(0.05)
    await pilot.pause(0.2)


async def _save(pilot: Pilot[CoachError | None], folder: Path, place: str) -> Path:
    file = folder / f"{place}.svg"
    file.write_text(local(pilot.app.export_screenshot(title="sequencer")), encoding="utf-8")
    return file


def local(svg: str) -> str:
    """Return a picture without the fonts it would fetch from elsewhere."""
    return re.sub(r"@font-face\s*\{.*?\}\s*", "", svg, flags=re.DOTALL)


def main() -> None:
    """Write the pictures into the folder named on the command line."""
    from demo_scenarios import lay_out, tonight

    folder = Path(sys.argv[1] if len(sys.argv) > 1 else ".")
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as scratch:
        book = Path(scratch) / "book.db"
        lay_out(None, book)
        asyncio.run(take(str(book), tonight(None), folder))


if __name__ == "__main__":
    main()
