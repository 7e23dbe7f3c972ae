"""The places of the UI, in the order of their keys; a screen is imported when it is first shown."""

from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module
from typing import Any, Final

from textual.screen import Screen


@dataclass(frozen=True, slots=True)
class Place:
    """One place: its name, its title, and where its screen is."""

    name: str
    title: str
    module: str
    screen: str

    def make(self) -> Screen[Any]:
        """Return a new screen of this place."""
        made: Callable[[], Screen[Any]] = getattr(import_module(self.module), self.screen)
        return made()


PLACES: Final = (
    Place("scouting", "Scouting", "tui.screens.scouting", "ScoutingScreen"),
    Place("plan", "Plan", "tui.screens.plan", "PlanScreen"),
    Place("dugout", "Dugout", "tui.screens.dugout", "DugoutScreen"),
    Place("review", "Review", "tui.screens.review", "ReviewScreen"),
    Place("bullpen", "Bullpen", "tui.screens.bullpen", "BullpenScreen"),
    Place("games", "Games", "tui.screens.games", "GamesScreen"),
)
