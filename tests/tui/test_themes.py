"""Every theme is read by every eye: contrast of all text drawn, and nothing by colour alone."""

from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest
from rich._palettes import STANDARD_PALETTE, WINDOWS_PALETTE
from rich.color import ColorSystem
from rich.style import Style

from tests.tui.colour_sight import EYES, TEXT, contrast
from tests.tui.driving import Driven, opened
from tests.tui.looking import DRAWN
from tests.tui.walking import walking
from tui.themes import THEMES

#: Palettes of 16 colours and the least contrast in them: text, and large text or a sign (WCAG 2.2,
#: 1.4.3 and 1.4.11) where a palette's own greys and browns leave no more.
PALETTES: Final = ((STANDARD_PALETTE, TEXT), (WINDOWS_PALETTE, 3.0))


def pieces(driven: Driven) -> Iterator[tuple[str, Style]]:
    """Yield what is drawn with its style; under a dialog the place behind is not there to read."""
    dialogs = driven.screen.query(".dialog, .sheet, #picture, #--container")
    front = dialogs.first().region if dialogs else driven.screen.region
    for y, strip in enumerate(driven.screen._compositor.render_strips()):
        x = 0
        for segment in strip:
            if segment.style and set(segment.text) - DRAWN and front.contains(x, y):
                yield segment.text, segment.style
            x += segment.cell_length


def unreadable(driven: Driven, eye: str) -> list[tuple[str, float]]:
    found = []
    for text, style in pieces(driven):
        assert style.color and style.bgcolor, text
        front, back = style.color.get_truecolor(), style.bgcolor.get_truecolor()
        ratio = contrast(front, back, eye)
        if ratio < TEXT:
            found.append((text, round(ratio, 2)))
    return found


def test_contrast_of_known_pairs_is_as_published() -> None:
    """Black on white is 21; #767676 is the lightest grey that passes on white."""
    assert contrast((0, 0, 0), (255, 255, 255)) == pytest.approx(21)
    assert contrast((9, 9, 9), (9, 9, 9)) == 1
    assert contrast((0x76,) * 3, (255,) * 3) >= TEXT > contrast((0x77,) * 3, (255,) * 3)


@pytest.mark.parametrize("eye", EYES)
def test_greys_are_greys_to_every_eye(eye: str) -> None:
    assert contrast((0, 0, 0), (128, 128, 128), eye) == pytest.approx(
        contrast((0, 0, 0), (128, 128, 128)), rel=0.01
    )


def hard_to_read(driven: Driven) -> Iterator[str]:
    """Yield what has not contrast enough for some eye, of the screen in front."""
    for eye in EYES:
        for text, ratio in unreadable(driven, eye):
            yield f"{text!r} has a contrast of {ratio} for {eye}"


def hard_to_read_in_16(driven: Driven) -> Iterator[str]:
    """Yield what has not contrast enough on a terminal of 16 colours, by two usual palettes."""
    for text, style in pieces(driven):
        assert style.color and style.bgcolor, text
        front, back = (
            colour.downgrade(ColorSystem.STANDARD).number for colour in (style.color, style.bgcolor)
        )
        assert front is not None and back is not None
        for palette, least in PALETTES:
            ratio = contrast(palette[front], palette[back])
            if ratio < least:
                yield f"{text!r} has a contrast of {ratio:.1f} in 16 colours ({front} on {back})"


JUDGES: Final = (hard_to_read, hard_to_read_in_16)


async def contrast_of_all(theme: str, folder: Path) -> list[str]:
    """Return what is hard to read in a theme: every place, every dialog a key of a place opens."""
    async with walking("full", folder, colour=True) as walk:
        walk.themes, walk.sizes, walk.judges = (theme,), ((80, 24),), JUDGES
        walk.driven.app.theme = theme
        await walk.over_dialogs()
    assert walk.dialogs >= {"ChooseScreen", "FormScreen", "HelpScreen", "PageScreen", "Palette"}
    return walk.wrong


async def test_all_text_drawn_has_contrast_enough_for_every_eye(tmp_path: Path) -> None:
    """One theme each place and dialog in turn; all of them each are looked at in a long run."""
    async with walking("full", tmp_path, colour=True) as walk:
        walk.sizes, walk.judges = ((80, 24),), JUDGES
        await walk.over_dialogs()
    assert not walk.wrong, "\n".join(walk.wrong)


@pytest.mark.soak
@pytest.mark.parametrize("theme", [theme.name for theme in THEMES])
async def test_every_theme_has_contrast_enough_everywhere(theme: str, tmp_path: Path) -> None:
    wrong = await contrast_of_all(theme, tmp_path)
    assert not wrong, "\n".join(wrong)


@pytest.mark.soak
async def test_no_color_leaves_no_colour_at_all_and_the_chosen_line_is_still_told(
    a_season: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with opened(a_season, game="g1") as driven:
        for key, place in (("f4", "dugout"), ("f6", "games"), ("f2", "scouting"), ("f3", "plan")):
            await driven.press(key)
            await driven.until_place(place)
            await driven.settled()
            strips = driven.screen._compositor.render_strips()
            styles = [segment.style for strip in strips for segment in strip if segment.style]
            coloured = [
                style
                for style in styles
                if any(c and not c.is_default for c in (style.color, style.bgcolor))
            ]
            assert coloured == [], place
            if place != "dugout":
                assert any(s.reverse for _, s in pieces(driven) if s.bold), place
