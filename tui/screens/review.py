"""Review: what the other dugout could read, flagged first, with the pitches behind each."""

from collections.abc import Iterable
from typing import ClassVar

from rich.text import Text
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widget import Widget
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from tui import keys
from tui.messages import AskPage, AskReview, ChoosePitcher
from tui.screens.choose import ChooseScreen
from tui.screens.place import PlaceScreen
from tui.views import PatternView, ReviewSetUp, ReviewView
from tui.widgets.zone_picture import ZonePicture


class ReviewScreen(PlaceScreen):
    """The review of one of our pitchers."""

    PLACE: ClassVar[str] = "review"
    BINDINGS: ClassVar[list[BindingType]] = [*keys.bindings("review")]

    def __init__(self) -> None:
        super().__init__()
        self._review: ReviewView | None = None
        self._asked = ""

    @property
    def complete(self) -> bool:
        """Whether what was asked for is on the screen."""
        return self._review is not None

    def body(self) -> Iterable[Widget]:
        """Lay out what was found, the picture, the pitches."""
        yield Static(id="head", markup=False)
        with Horizontal(id="columns"):
            yield OptionList(id="patterns", markup=False)
            with Vertical(id="seen"):
                yield ZonePicture(id="zone")
                yield Static(id="numbers", markup=False)
                with VerticalScroll(id="page"):
                    yield Static(id="practise", markup=False)
                    yield Static(id="pitches", markup=False)

    def draw(self) -> None:
        """Draw who is reviewed, and ask for it when it is not there yet."""
        view = self._view
        if not isinstance(view, ReviewSetUp):
            return
        self.title_line(f"Review: {view.pitcher or 'no pitcher yet'}")
        if not view.pitcher_id:
            self.query_one("#columns").visible = False
            self.say("Nothing to review yet: pitches logged in the dugout or imported come here.")
        elif self._asked != view.pitcher_id:
            self.action_compute()

    def action_compute(self) -> None:
        """Ask for the review."""
        view = self._view
        if isinstance(view, ReviewSetUp) and view.pitcher_id:
            self._review, self._asked = None, view.pitcher_id
            self.query_one("#columns").visible = False
            self.query_one("#head", Static).update("")
            self.say("Counting and shuffling …")
            self.post_message(AskReview(view.pitcher_id))

    def show_review(self, pitcher_id: str, review: ReviewView) -> None:
        """Draw a review, unless another pitcher has been asked for since."""
        if pitcher_id != self._asked:
            return
        self._review = review
        self.query_one("#head", Static).update("\n".join(review.head))
        self.query_one("#columns").visible = bool(review.patterns)
        patterns = self.query_one("#patterns", OptionList)
        patterns.clear_options()
        patterns.add_options(
            [Option(pattern_line(p), id=str(i)) for i, p in enumerate(review.patterns)]
        )
        if review.patterns:
            patterns.highlighted = 0
            patterns.focus()
        self.say("")

    def could_not(self, pitcher_id: str, sentence: str) -> None:
        """Say why there is no review."""
        if pitcher_id == self._asked:
            self.say(sentence)

    def progress(self, pitcher_id: str, words: str) -> None:
        """Say how far the computation is."""
        if pitcher_id == self._asked and self._review is None:
            self.say(words)

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """Show the picture and the pitches behind the pattern under the cursor."""
        if self._review is None or event.option.id is None:
            return
        pattern = self._review.patterns[int(event.option.id)]
        self.query_one(ZonePicture).view = pattern.zone
        self.query_one("#numbers", Static).update(pattern.numbers)
        practise = self.query_one("#practise", Static)
        practise.update(pattern.practise)
        practise.display = bool(pattern.practise)
        self.query_one("#pitches", Static).update(Text("\n".join(pattern.pitches)))
        self.query_one("#page", VerticalScroll).scroll_home(animate=False)

    async def action_pitcher(self) -> None:
        """Choose the pitcher."""
        chosen = self._view.pitcher_id if isinstance(self._view, ReviewSetUp) else ""
        dialog = ChooseScreen("Review whom?", await self.front.pitchers(), chosen)
        self.app.push_screen(dialog, self._pitcher_chosen)

    def action_person_page(self) -> None:
        """Show the whole page of the pitcher reviewed."""
        view = self._view
        if isinstance(view, ReviewSetUp) and view.pitcher_id:
            self.post_message(AskPage(view.pitcher_id))

    def _pitcher_chosen(self, pitcher: str | None) -> None:
        if pitcher:
            self.post_message(ChoosePitcher("review", pitcher))


def pattern_line(pattern: PatternView) -> Text:
    """Return a pattern's line: flagged ones say so first."""
    mark = "! " if pattern.flagged else "  "
    return Text(mark + pattern.says)
