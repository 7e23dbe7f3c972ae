"""A terminal that is wide but low still has the whole dugout: the line being typed, all keys."""

import pytest

from tests.tui.driving import opened


@pytest.mark.parametrize("size", [(113, 24), (120, 30), (140, 33), (120, 34)])
async def test_the_dugout_fits_a_wide_and_low_screen(two_clubs: str, size: tuple[int, int]) -> None:
    async with opened(two_clubs, size, game="tonight") as driven:
        await driven.until_text("signs:")
        shown = (await driven.settled()).splitlines()
        assert len(shown) == size[1]
        assert "< undo" in shown[-2]
        assert "b ball" in shown[-3]
        assert shown[-1].lstrip().startswith("F1")
        assert driven.screen.max_scroll_y == 0
