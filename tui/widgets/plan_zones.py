"""Small pictures beside a plan: where his calls would go at the first pitch, behind, and ahead."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Final

from textual.containers import Horizontal, Vertical
from textual.widget import Widget
from textual.widgets import Static

from tui.picture_views import CALL_EDGES, PictureSet, ZoneView
from tui.shares import edges_in_a_line
from tui.widgets.zone_picture import VIEWED, ZonePicture

#: The counts that are drawn, and what each is (trade terms).
COUNTS: Final = {"0-0": "first pitch", "2-0": "hitter's count", "0-2": "two strikes"}
#: Least columns and rows of a screen that has room for them under the plan.
ROOM: Final = (112, 40)
#: Under the pictures from left to right: what holds for all of them.
_UNDER: Final = (
    f"of 100: {edges_in_a_line(CALL_EDGES)}",
    "+ asked for",
    VIEWED,
)


class PlanZones(Horizontal):
    """Three counts of one hitter's plan; nothing where there is none or no room."""

    def compose(self) -> Iterable[Widget]:
        """Lay a title over each picture."""
        for count, says in COUNTS.items():
            with Vertical():
                yield Static(f"{count} {says}", markup=False)
                yield ZonePicture(id=f"at-{count}")

    def show(self, pictures: PictureSet | None) -> None:
        """Draw the pictures of all calls; the first of a count is of every pitch."""
        self.display = pictures is not None
        if pictures is None:
            return
        of_all: dict[str, ZoneView] = {}
        for one in pictures.pictures:
            of_all.setdefault(one.title, one.zone)
        for count, under in zip(COUNTS, _UNDER, strict=True):
            view = replace(of_all.get(count, ZoneView()), legend=under)
            self.query_one(f"#at-{count}", ZonePicture).view = view
