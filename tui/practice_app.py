"""What the review and the bullpen ask of the app: reviews worked out, throws saved, then shown."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, cast

from sequencer.errors import CoachError
from tui import messages
from tui.picture_app import PictureApp
from tui.views import ReviewLists

if TYPE_CHECKING:
    from tui.screens.bullpen import BullpenScreen
    from tui.screens.choose import ChooseScreen
    from tui.screens.review import ReviewScreen
    from tui.views import ReviewAsked


class PracticeApp(PictureApp):
    """An app with a review of games and a bullpen that goes on from it."""

    # the review

    def on_ask_review(self, message: messages.AskReview) -> None:
        """Review what was asked for; a later request takes the place of this one."""
        self._think("review", self._review, message.asked)

    async def _review(self, asked: "ReviewAsked") -> None:
        screen = cast("ReviewScreen", self.place_screen("review"))
        await self.can_think.wait()
        if self.thinker is None:
            return

        def told(words: str) -> None:
            self.call_later(screen.progress, asked, words)

        try:
            review = await self.at_thought.run_stoppable(self.thinker.review, asked, told)
        except CoachError as error:
            screen.could_not(asked, str(error))
            return
        screen.show_review(asked, review)

    async def review_lists(self) -> ReviewLists:
        """Return whom and which games a review can be of, as far as is told without reading."""
        assert self.desk is not None
        return await self._at_desk(self.desk.review_lists) or ReviewLists((), (), ())

    def read_whom(self, dialog: "ChooseScreen") -> None:
        """Give a list of whom to review everybody the book names, once it is read."""
        self._think("whom", self._whom, dialog)

    async def _whom(self, dialog: "ChooseScreen") -> None:
        await self.can_think.wait()
        if self.thinker is None:
            return

        def told(words: str) -> None:
            self.call_later(dialog.tell, words)

        dialog.take(await self.at_thought.run_stoppable(self.thinker.review_whom, told))

    def stop_reading_whom(self) -> None:
        """Stop that: the list is closed."""
        self.workers.cancel_group(self, "whom")

    async def on_send_to_bullpen(self, message: messages.SendToBullpen) -> None:
        """Keep what to practise for the next bullpen, then say so."""
        assert self.desk is not None
        says = await self._at_desk(self.desk.pens.plan, message.steps)
        if says:
            self.place_screen("review").say(says)

    # the bullpen

    async def at_bullpen(self, work: str, *args: Any) -> str:
        """Do something in the bullpen on the desk's thread, then show; returns why not."""
        assert self.desk is not None
        done: Callable[..., Any] = getattr(self.desk.pens, work)
        try:
            await self.at_desk.run(done, *args)
            view = await self.at_desk.run(self.desk.bullpen)
        except CoachError as error:
            return str(error)
        cast("BullpenScreen", self.place_screen("bullpen")).show(view)
        return ""
