"""Every theme is read by every eye: contrast of all text drawn, and nothing by colour alone."""

from collections.abc import Iterator

import pytest
from rich.style import Style
from textual.command import CommandPalette
from textual.widgets import OptionList

from tests.tui.colour_sight import EYES, TEXT, contrast
from tests.tui.driving import Driven, opened
from tui import settings
from tui.screens.choose import FormScreen, HelpScreen
from tui.themes import THEMES

#: Drawn, not read: boxes, blocks, bars of a scroll.
_DRAWN = set("─│┌┐└┘╭╮╰╯├┤┼ ░▒▓█▌▐▎▁▂▃▄▅▆▇▔▕╸╺━┃▀▊▏")


def pieces(driven: Driven) -> Iterator[tuple[str, Style]]:
    """Yield what is drawn with its style; under a dialog the place behind is not there to read."""
    dialogs = driven.screen.query(".dialog, .sheet, #--container")
    front = dialogs.first().region if dialogs else driven.screen.region
    for y, strip in enumerate(driven.screen._compositor.render_strips()):
        x = 0
        for segment in strip:
            if segment.style and set(segment.text) - _DRAWN and front.contains(x, y):
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


@pytest.mark.parametrize("theme", [theme.name for theme in THEMES])
async def test_all_text_drawn_has_contrast_enough_for_every_eye(a_season: str, theme: str) -> None:
    settings.save(settings.Settings(theme=theme))
    problems: dict[str, list[tuple[str, float]]] = {}

    def look(driven: Driven, where: str) -> None:
        for eye in EYES:
            problems[f"{where}, {eye}"] = unreadable(driven, eye)

    async with opened(a_season, game="g1") as driven:
        await driven.press("O", "1", "s")
        look(driven, "dugout")
        for key, place in (("f6", "games"), ("f2", "scouting"), ("f3", "plan")):
            await driven.press(key)
            await driven.until_place(place)
            await driven.settled()
            look(driven, place)
        await driven.press("f1")
        await driven.until(lambda: isinstance(driven.screen, HelpScreen))
        await driven.settled()
        look(driven, "help")
        await driven.press("escape", "f6", "n")
        await driven.until(lambda: isinstance(driven.screen, FormScreen))
        await driven.settled()
        look(driven, "form")
        await driven.press("escape", "ctrl+p")
        await driven.until(lambda: isinstance(driven.screen, CommandPalette))
        await driven.until(lambda: driven.screen.query_one(OptionList).option_count)
        await driven.pilot.pause()
        look(driven, "palette")
    assert {where: found for where, found in problems.items() if found} == {}


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
