"""A whole game typed key by key: its box is the one made by hand."""

from itertools import pairwise
from pathlib import Path

from sequencer.records.box import box
from tests.tui import full_game
from tests.tui.driving import Driven, opened
from tests.tui.full_game import HITTERS, LEFT, PITCHERS, PITCHES, SCORE, Turn, derived, turns
from tests.tui.monkey import send


def standing(driven: Driven) -> tuple[str, str]:
    """Return the half and who is up, as on the screen."""
    view = driven.screen._view
    return f"{view.half[0].upper()}{view.inning}", view.up_name


async def typed(driven: Driven, turn: Turn) -> None:
    """Type one turn without waiting for the screen, as a quick scorer does."""
    assert standing(driven) == (turn.half, turn.who)
    for part in turn.parts:
        for key in part:
            send(driven.app, key)
        if part.startswith(":"):
            send(driven.app, "enter")
            await driven.until(lambda: not driven.screen._line.display, f"{part} taken")


async def test_a_game_of_280_pitches_typed_in_the_dugout_has_the_box_made_by_hand(
    tmp_path: Path,
) -> None:
    path = full_game.make(tmp_path / "book.db")
    last = Turn("T8", "Marin", (), "")
    async with opened(path, game="full") as driven:
        for turn, following in pairwise([*turns(), last]):
            await typed(driven, turn)
            after = (following.half, following.who)
            await driven.until(lambda after=after: standing(driven) == after, str(following))  # type: ignore[misc]
            assert "Not " not in driven.screen._told, (turn, driven.screen._told)
        view = driven.screen._view
        assert (view.score_us, view.score_them) == SCORE and "7 innings" in view.over
    state = full_game.state_of(path)
    assert len(state.log) == PITCHES and state.problems == ()
    assert all(line.proves for line in box(state).sides.values())
    assert derived(state) == (HITTERS, PITCHERS, LEFT)
