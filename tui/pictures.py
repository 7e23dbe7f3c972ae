"""Pictures of the places, made from the running program on demo data.

`python -m tui.pictures FOLDER` writes one .svg for each of `PICTURES`.
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
from tui.screens.picture import PictureScreen
from tui.settings import Settings

SIZE: Final = (100, 30)
PICTURES: Final = ("dugout", "scouting", "zone", "plan", "review", "bullpen")
#: Keys pressed in the dugout before its picture is taken: part of an inning, with advice shown.
_KEYS: Final = ("O", *"1sl4cm1wb2Cb1qm1ab1dl4xy1sf")
#: Keys in the large picture of the zone: where he was pitched, smoothed, a cell low in the zone.
_ZONE_KEYS: Final = ("Z", "s", "down", "right")
#: Throws of a set, where the review's set list asks for them: a place, then its own word for it.
_THROWS: Final = ("a", "space", "q", "space", "A", "space", "s", "space", "z", "space")
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
        await _shown(pilot, "scouting")
        made.append(await _save(pilot, folder, "scouting"))
        await pilot.press("z")
        await _until(pilot, lambda: _large(app))
        await pilot.press(*_ZONE_KEYS)
        made.append(await _save(pilot, folder, "zone"))
        for place in ("plan", "review"):
            await _shown(pilot, place)
            made.append(await _save(pilot, folder, place))
        await pilot.press("b")
        await _until(pilot, lambda: "set list" in str(app.screen.query_one("#say").render()))
        await app.action_place("bullpen")
        await _until(pilot, lambda: app.screen.id == "bullpen" and app.screen.query("#call"))
        await pilot.press(*_THROWS)
        made.append(await _save(pilot, folder, "bullpen"))
        await app.action_quit()
    return made


async def _shown(pilot: Pilot[CoachError | None], place: str) -> None:
    app = pilot.app
    assert isinstance(app, SequencerApp)
    await app.action_place(place)
    await _until(pilot, lambda: getattr(app.screen, "complete", False))


def _large(app: SequencerApp) -> bool:
    return isinstance(app.screen, PictureScreen) and app.screen.shown is not None


async def _until(pilot: Pilot[CoachError | None], true: Callable[[], object]) -> None:
    async with asyncio.timeout(_LONGEST_WAIT_S):
        while not true():
            await pilot.pause(0.05)
    await pilot.pause(0.2)


async def _save(pilot: Pilot[CoachError | None], folder: Path, place: str) -> Path:
    await pilot.pause(0.2)
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
