"""Pictures of the zone over a place: worked out elsewhere, shown once they are there."""

from collections.abc import Awaitable, Callable
from typing import TYPE_CHECKING, cast

from sequencer.errors import CoachError
from tui import messages
from tui.everywhere import EverywhereApp

if TYPE_CHECKING:
    from tui.picture_views import PictureSet
    from tui.screens.picture import PictureScreen
    from tui.screens.scouting import ScoutingScreen

Drawn = Callable[[], Awaitable["PictureSet"]]


class PictureApp(EverywhereApp):
    """An app whose places show their zone large."""

    def action_picture(self) -> None:
        """Show the picture of the place in front large, or put it away."""
        from tui.screens.picture import PictureScreen
        from tui.screens.place import PlaceScreen

        if isinstance(self.screen, PlaceScreen):
            self.screen.action_picture()
        elif isinstance(self.screen, PictureScreen):
            self.screen.dismiss("")

    def on_ask_pictures(self, message: messages.AskPictures) -> None:
        """Show pictures of pitches that were seen; the small one follows what was looked at."""
        from tui.screens.picture import PictureScreen

        screen = PictureScreen(message.cell, message.begin)

        async def drawn() -> "PictureSet":
            assert self.thinker is not None
            return await self.at_thought.run_stoppable(self.thinker.pictures, message.asked)

        def back(_: str | None) -> None:
            if message.asked.counted == "hitter":
                cast("ScoutingScreen", self.place_screen("scouting")).begin_with(screen.begins)

        self._over(screen, drawn, back)

    def on_ask_pen_pictures(self, message: messages.AskPenPictures) -> None:
        """Show where throws went about each target."""
        from tui.screens.picture import PictureScreen

        async def drawn() -> "PictureSet":
            assert self.thinker is not None
            return await self.at_thought.run_stoppable(
                self.thinker.pen_pictures, message.pitcher_id, message.pen_id
            )

        self._over(PictureScreen(message.cell), drawn, None)

    def on_ask_game_pictures(self, message: messages.AskGamePictures) -> None:
        """Show the pitches of the game being logged; a result key goes back to the dugout."""
        from tui.screens.picture import PictureScreen

        async def drawn() -> "PictureSet":
            from tui.game_pictures import asked_of

            assert self.desk is not None and self.desk.session is not None
            assert self.advisor is not None
            asked = asked_of(self.desk.session.state)
            return await self.at_advice.run(self.advisor.pictures, asked)

        screen = PictureScreen(message.cell, hand_back=message.hand_back)
        self._over(screen, drawn, message.back)

    def _over(
        self,
        screen: "PictureScreen",
        drawn: Drawn,
        back: Callable[[str | None], None] | Callable[[str | None], Awaitable[None]] | None,
    ) -> None:
        if len(self.screen_stack) > 1:
            return
        self.push_screen(screen, back)
        self._think("picture", self._draw, screen, drawn)

    async def _draw(self, screen: "PictureScreen", drawn: Drawn) -> None:
        await self.can_think.wait()
        try:
            screen.show(await drawn())
        except CoachError as error:
            screen.could_not(str(error))
