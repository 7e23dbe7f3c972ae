"""A real browser: an inning tapped and typed on a tablet, and nothing asked of anyone else."""

import asyncio
from functools import partial
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from tests.serve.browser import CHROMIUM, LANDSCAPE, PORTRAIT, Page, browser
from tests.serve.serving import served, until
from tests.serve.test_tablets import logged, pitches

pytestmark = pytest.mark.skipif(not CHROMIUM, reason="Debian's chromium is not installed")
#: Fewest bytes of a picture with something on it: an empty page has far fewer.
_DRAWN = 15_000
_HIGH = "document.querySelector('#terminal').clientHeight"
#: The buttons whose words are cut off, or that are too low for a finger.
_CUT = (
    "[...document.querySelectorAll('.panel.-shown .tap')].filter((b) => "
    "b.scrollWidth > b.clientWidth + 1 || b.scrollHeight > b.clientHeight + 1 || "
    "b.offsetHeight < 36).map((b) => b.textContent)"
)


async def tapped(page: Page, keys: str) -> None:
    """Touch the button of each key."""
    for key in keys:
        await page.tap_key(key)


async def test_an_inning_is_tapped_and_typed_on_a_tablet(book: str, tmp_path: Path) -> None:
    async with served(book) as to, browser(tmp_path / "browser") as chromium:
        page = await chromium.page(LANDSCAPE)
        await page.open(to.start)
        await page.until_heard("signs:")
        assert urlsplit(await page.run("location.href")).query == ""
        for pitch in ("1sl", "1xf", "2cm"):
            await tapped(page, pitch)
        await page.until_heard("strikeout")
        await page.type(*"1ab", *"1so")
        await until(lambda: len(pitches(book)) == 5, "two outs")
        await tapped(page, "2zx\x7f")
        await page.tap_key("\x1b[27u")
        await tapped(page, "1w")
        await page.tap("[data-panel=More]")
        await tapped(page, ",")
        await page.tap("[data-panel=Pitch]")
        await tapped(page, "o")
        await until(lambda: len(pitches(book)) == 6, "three outs")
        await page.picture(tmp_path / "inning.png")
        asked = {urlsplit(url).netloc for url in page.requested}
        assert asked == {urlsplit(to.at).netloc}
        assert not [said for said in page.complaints if "Content Security" in said]
    assert pitches(book) == [
        ("fastball", "called strike"),
        ("fastball", "foul"),
        ("curveball", "swinging strike"),
        ("fastball", "ball"),
        ("fastball", "in play"),
        ("fastball", "in play"),
    ]
    assert (tmp_path / "inning.png").stat().st_size > _DRAWN


@pytest.mark.soak
async def test_a_tablet_either_way_up_shows_the_whole_dugout_and_every_button(
    book: str, tmp_path: Path
) -> None:
    async with served(book) as to, browser(tmp_path / "browser") as chromium:
        for size in (LANDSCAPE, PORTRAIT):
            page = await chromium.page(size)
            await page.open(to.start)
            for words in ("signs:", "< undo", "F6"):
                await page.until_heard(words)
            first = await page.run(_HIGH)
            for panel in ("More", "Go", "Pitch"):
                await page.tap(f"[data-panel={panel}]")
                assert await page.run(_HIGH) == first
                assert await page.run(_CUT) == [], panel
            await page.tap("[data-panel=Go]")
            await page.picture(tmp_path / f"{size[0]}.png")
            assert await page.run("document.scrollingElement.scrollHeight <= innerHeight")
            await page.tap("[data-panel=Go]")
            assert await page.run(_HIGH) > first
            # The terminal itself is touched too: the foot of the screen goes to a place.
            await page.touch(110, await page.run(_HIGH) - 16)
            await page.until_heard("late on the fastball")


@pytest.mark.soak
async def test_two_browsers_log_by_turns_and_lose_nothing(book: str, tmp_path: Path) -> None:
    async with served(book) as to, browser(tmp_path / "browser") as chromium:
        pages = [await chromium.page(), await chromium.page(PORTRAIT)]
        for page in pages:
            await page.open(to.start)
            await page.until_heard("signs:")
        for turn in range(4):
            await tapped(pages[turn % 2], ("1sb", "2xf")[turn % 2])
            await until(partial(logged, book, turn + 1), f"pitch {turn + 1}")
    assert pitches(book) == [("fastball", "ball"), ("curveball", "foul")] * 2


@pytest.mark.soak
async def test_the_end_is_said_and_one_button_opens_it_again(book: str, tmp_path: Path) -> None:
    async with served(book) as to, browser(tmp_path / "browser") as chromium:
        page = await chromium.page((1280, 800), touch=False)
        await page.open(to.start)
        await page.until_heard("signs:")
        await page.ask(
            "Input.dispatchKeyEvent", type="keyDown", key="q", code="KeyQ", modifiers=2,
            windowsVirtualKeyCode=81,
        )  # fmt: skip
        await page.until("document.body.classList.contains('-closed')")
        assert "in the book" in await page.run("document.querySelector('#closed').innerText")
        await page.run("document.querySelector('#again').click()")
        await asyncio.sleep(0)
        await page.until("!document.body.classList.contains('-closed')")
        await page.until_heard("signs:")
