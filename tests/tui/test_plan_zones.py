"""Where the plan's calls would go, small, beside the counts: where there is room for it."""

import pytest

from tests.tui.driving import Driven, opened
from tui.plan_pictures import plan_pictures
from tui.widgets.plan_zones import COUNTS, PlanZones
from tui.widgets.zone_picture import ZonePicture


def drawn(driven: Driven) -> list[object]:
    return [driven.screen.query_one(f"#at-{count}", ZonePicture).view.cells for count in COUNTS]


async def test_three_counts_are_drawn_as_the_large_picture_has_them_and_follow_the_cursor(
    two_clubs: str,
) -> None:
    async with opened(two_clubs, (120, 44), place="plan") as driven:
        await driven.until(lambda: driven.screen.complete, "a plan")
        zones = driven.screen.query_one(PlanZones)
        await driven.until(lambda: bool(zones.display), "the small pictures")
        await driven.until_text("0-2 two strikes")
        for words in ("of 100: ░2+ ▒5+ ▓10+ █20+", "+ asked for", "catcher's view"):
            await driven.until_text(words)
        thinker = driven.app.thinker
        made = thinker._planner._made if thinker else None
        assert made is not None
        large = plan_pictures(made.plan, 0).pictures
        first = {one.title: one.zone.cells for one in reversed(large)}
        await driven.until(lambda: drawn(driven) == [first[count] for count in COUNTS])
        before = drawn(driven)
        # The fourth hits from the other side: what is away from him is on the other side too.
        for _ in range(3):
            await driven.press("down")
        await driven.until(lambda: bool(zones.display) and drawn(driven) != before, "a left-hander")
        for _ in range(3):
            await driven.press("up")
        await driven.until(lambda: drawn(driven) == before, "the first man, held")


@pytest.mark.parametrize("size", [(80, 24), (111, 60), (200, 39)])
async def test_nothing_is_drawn_or_asked_for_where_there_is_no_room(
    two_clubs: str, size: tuple[int, int]
) -> None:
    async with opened(two_clubs, size, place="plan") as driven:
        await driven.until(lambda: driven.screen.complete, "a plan")
        await driven.settled()
        assert not driven.screen.query_one(PlanZones).display
        assert driven.screen._zones == {}
