"""Review: what could be read, flagged first, with the pitches behind each; then six parts."""

from collections.abc import Callable, Iterable, Sequence
from textwrap import wrap
from typing import ClassVar, Final

from rich.text import Text
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widget import Widget
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from tui import keys
from tui.messages import AskPage, AskPictures, AskReview, ChoosePitcher, SendToBullpen
from tui.picture_views import PicturesAsked
from tui.screens.choose import ChooseScreen, PageScreen, headed
from tui.screens.place import PlaceScreen
from tui.views import Choice, PatternView, ReviewAsked, ReviewSetUp, ReviewView
from tui.widgets.choices import Choices
from tui.widgets.zone_picture import ZonePicture

#: The parts, in the order of their keys, and how the line over them calls each.
TABS: Final = {
    "habits": "habits",
    "follow-up": "follow-up",
    "ledger": "ledger",
    "call or miss": "call or miss",
    "tells": "tells",
    "not found": "not found",
}
#: Columns of a page.
_WIDTH: Final = 80
_NONE: Final = "Nothing here for these pitches."
_OURS: Final = "us/pitcher/"
_NOTHING: Final = "Nothing to review yet: pitches logged in the dugout or imported come here."
_COUNTING: Final = "Counting and shuffling …   Esc stops it."
_STOPPED: Final = "Stopped: c reviews again."


class ReviewScreen(PlaceScreen):
    """The review of a pitcher, a caller or a catcher of ours, of all of ours, or of theirs."""

    PLACE: ClassVar[str] = "review"
    BINDINGS: ClassVar[list[BindingType]] = [*keys.bindings("review")]

    def __init__(self) -> None:
        super().__init__()
        self._review: ReviewView | None = None
        self._asked: ReviewAsked | None = None
        self._wanted = ReviewAsked("")
        self._set_up = ""
        self._tab, self._page = "habits", 0
        #: Why there is no review on the screen.
        self._why_none = _NOTHING

    @property
    def complete(self) -> bool:
        """Whether what was asked for is on the screen."""
        return self._review is not None

    def body(self) -> Iterable[Widget]:
        """Lay out the parts, what was found, the picture, the pitches, and pages of text."""
        yield Static(id="tabs", markup=False)
        yield Static(id="head", markup=False)
        with Horizontal(id="columns"):
            yield Choices(id="patterns", markup=False)
            with Vertical(id="seen"):
                yield ZonePicture(id="zone")
                with VerticalScroll(id="page"):
                    yield Static(id="numbers", markup=False)
                    yield Static(id="practise", markup=False)
                    yield Static(id="pitches", markup=False)
        with VerticalScroll(id="whole"):
            yield Static(id="whole-words", markup=False)

    def draw(self) -> None:
        """Draw who is reviewed, and ask for it when it is not there yet."""
        view = self._view
        if not isinstance(view, ReviewSetUp):
            return
        if view.pitcher_id != self._set_up:
            self._set_up = view.pitcher_id
            self._wanted = self._wanted._replace(whom=_OURS + view.pitcher_id)
        if not view.pitcher_id:
            self.title_line("Review: no pitcher yet")
            self._hide()
            self.say(_NOTHING)
        elif self._asked != self._wanted:
            self.title_line(f"Review: {view.pitcher}")
            self.action_compute()

    def _hide(self) -> None:
        self.query_one("#tabs").display = self.query_one("#whole").display = False
        columns = self.query_one("#columns")
        columns.display, columns.visible = True, False
        self.query_one("#head", Static).update("")

    def action_compute(self) -> None:
        """Ask for the review."""
        view = self._view
        if isinstance(view, ReviewSetUp) and view.pitcher_id:
            self._review, self._asked = None, self._wanted
            self._hide()
            self._why_none = _COUNTING
            self.say(_COUNTING)
            self.post_message(AskReview(self._wanted))

    def show_review(self, asked: ReviewAsked, review: ReviewView) -> None:
        """Draw a review, unless another has been asked for since."""
        if asked != self._asked:
            return
        self._review, self._page = review, 0
        self.title_line(f"Review: {review.pitcher}")
        self.query_one("#tabs").display = True
        self.query_one("#head", Static).update("\n".join(review.head))
        self.say("")
        self._draw_tab()

    def could_not(self, asked: ReviewAsked, sentence: str) -> None:
        """Say why there is no review."""
        if asked == self._asked:
            self._why_none = sentence
            self.say(sentence)

    def stopped(self) -> None:
        """Say that it was stopped; c asks again."""
        self._asked, self._why_none = None, _STOPPED
        self.say(_STOPPED)

    def progress(self, asked: ReviewAsked, words: str) -> None:
        """Say how far the computation is."""
        if asked == self._asked and self._review is None:
            self.say(f"{words}   Esc stops it.")

    # the parts

    def action_tab(self, tab: str) -> None:
        """Show a part; asked for again, it shows its next page."""
        if self._review is None:
            self._say_why_none()
            return
        same = tab == self._tab
        self._page = self._page + 1 if same else 0
        self._tab = tab
        self._draw_tab()
        one = len(self._review.pages.get(tab, ())) < 2
        self.say("This is the whole of this part." if same and one else "")

    def _say_why_none(self) -> None:
        self.say(f"There is no review yet: {self._why_none}")

    def _draw_tab(self) -> None:
        if self._review is None:
            return
        self.query_one("#tabs", Static).update(_tab_line(self._tab))
        listed = {"habits": self._review.patterns, "call or miss": self._review.turning}
        told = listed.get(self._tab)
        columns = self.query_one("#columns")
        columns.display = columns.visible = bool(told)
        self.query_one("#whole").display = not told
        if told:
            self._fill(told)
            return
        pages = self._review.pages.get(self._tab) or (_NONE,)
        more = f"\n\n{len(pages)} of these: the same key goes on." if len(pages) > 1 else ""
        words = self.query_one("#whole-words", Static)
        words.update(headed(pages[self._page % len(pages)].rstrip() + more))
        whole = self.query_one("#whole", VerticalScroll)
        whole.scroll_home(animate=False)
        whole.focus()

    def _fill(self, told: Sequence[PatternView]) -> None:
        patterns = self.query_one("#patterns", OptionList)
        patterns.clear_options()
        group = ""
        for pattern in told:
            if pattern.group != group:
                group = pattern.group
                patterns.add_option(Option(Text(group, style="italic"), disabled=True))
            patterns.add_option(Option(pattern_line(pattern), id=pattern.id))
        patterns.action_first()
        patterns.scroll_home(animate=False)
        patterns.focus()

    @property
    def _told(self) -> tuple[PatternView, ...]:
        if self._review is None:
            return ()
        return self._review.turning if self._tab == "call or miss" else self._review.patterns

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """Show the picture and the pitches behind the pattern under the cursor."""
        told = self._told
        if event.option.id is None or int(event.option.id) >= len(told):
            return
        pattern = told[int(event.option.id)]
        self.query_one(ZonePicture).view = pattern.zone
        self.query_one("#numbers", Static).update(pattern.numbers)
        practise = self.query_one("#practise", Static)
        send = "  (b sends it to his next bullpen)" if pattern.step and pattern.pitcher_id else ""
        practise.update(f"{pattern.practise}{send}")
        practise.display = bool(pattern.practise)
        self.query_one("#pitches", Static).update(Text("\n".join(pattern.pitches)))
        self.query_one("#page", VerticalScroll).scroll_home(animate=False)

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Show all there is to the chosen one, over the place."""
        told = self._told
        if event.option.id is not None and int(event.option.id) < len(told):
            self.app.push_screen(PageScreen(whole_words(told[int(event.option.id)])))

    def action_picture(self, cell: str = "") -> None:
        """Show where the pitches behind the chosen one went large, of all and by type."""
        pattern = self._chosen_pattern()
        if pattern is None:
            self.say("Choose a habit or an at-bat first: its pitches are drawn.")
            return
        zone = pattern.zone
        points = tuple(
            point._replace(line=line)
            for point, line in zip(pattern.points, pattern.pitches, strict=True)
        )
        single = zone if zone.spots else None
        asked = PicturesAsked(
            pattern.says, "thrown", points, zone.top_in, zone.bottom_in, zone.bats, single,
            "pitch by pitch" if single else "", len(points), pattern.note,
        )  # fmt: skip
        self.post_message(AskPictures(asked, cell))

    def action_send(self) -> None:
        """Send what to practise to the next bullpen of whom it is of."""
        if self._review is None:
            self._say_why_none()
            return
        steps = self._review.tells if self._tab == "tells" else self._chosen_step()
        if steps:
            self.post_message(SendToBullpen(steps))
        else:
            self.say(
                "Nothing to practise here: choose a habit of one of our pitchers that has a cure."
            )

    def _chosen_step(self) -> tuple[tuple[str, str], ...]:
        pattern = self._chosen_pattern() if self._tab == "habits" else None
        ready = pattern and pattern.step and pattern.pitcher_id
        return ((pattern.pitcher_id, pattern.step),) if pattern and ready else ()

    def _chosen_pattern(self) -> PatternView | None:
        """Return the habit or at-bat under the cursor, None where a page of text is shown."""
        patterns = self.query_one("#patterns", OptionList)
        told = self._told if self.query_one("#columns").display else ()
        if patterns.highlighted_option is None or patterns.highlighted_option.id is None:
            return None
        at = int(patterns.highlighted_option.id)
        return told[at] if at < len(told) else None

    # whom, and which games

    async def action_pitcher(self) -> None:
        """Choose whom to review: our pitchers, callers, catchers, or their pitchers."""
        whom = (await self.front.review_lists()).whom
        dialog = ChooseScreen("Review whom?", whom, self._wanted.whom)

        def chosen(one: str | None) -> None:
            self.front.stop_reading_whom()
            if one:
                self._whom_chosen(one, dialog.says(one))

        await self.app.push_screen(dialog, chosen)
        dialog.tell("Callers, catchers and theirs follow.")
        self.front.read_whom(dialog)

    def _whom_chosen(self, whom: str, says: str) -> None:
        if whom.startswith(_OURS):
            self._set_up = whom.removeprefix(_OURS)
            self.post_message(ChoosePitcher("review", self._set_up))
        self.title_line(f"Review: {says}")
        self._want(whom=whom)

    async def action_games(self) -> None:
        """Choose the games: the last ones, those against a team, or one of them."""
        games = [Choice(c.id or "all", c.says) for c in (await self.front.review_lists()).games]
        self._choose("Which games?", games, self._wanted.games or "all", self._games_chosen)

    def _games_chosen(self, games: str | None) -> None:
        if games:
            self._want(games="" if games == "all" else games)

    async def action_since(self) -> None:
        """Choose the day the games begin."""
        days = (Choice("all", "from the first game on"), *(await self.front.review_lists()).days)
        self._choose("Games since when?", days, self._wanted.since or "all", self._since_chosen)

    def _since_chosen(self, day: str | None) -> None:
        if day:
            self._want(since="" if day == "all" else day)

    async def action_fix(self) -> None:
        """Choose since when a habit should be going away."""
        days = (Choice("all", "the last game"), *(await self.front.review_lists()).days)
        title = "Follow habits up since when?"
        self._choose(title, days, self._wanted.fix or "all", self._fix_chosen)

    def _fix_chosen(self, day: str | None) -> None:
        if day:
            self._tab, self._page = "follow-up", 0
            self._want(fix="" if day == "all" else day)

    def _choose(
        self,
        title: str,
        choices: Sequence[Choice],
        chosen: str,
        then: Callable[[str | None], None],
    ) -> None:
        if choices:
            self.app.push_screen(ChooseScreen(title, choices, chosen), then)

    def _want(self, **changes: str) -> None:
        self._wanted = self._wanted._replace(**changes)
        if self._asked != self._wanted:
            self.action_compute()

    def action_person_page(self) -> None:
        """Show the whole page of the pitcher reviewed."""
        view = self._view
        if isinstance(view, ReviewSetUp) and view.pitcher_id:
            of, _, who = self._wanted.whom.rpartition("/")
            self.post_message(AskPage(who if of.endswith("pitcher") else view.pitcher_id))


def _tab_line(chosen: str) -> Text:
    line = Text(" ", no_wrap=True)
    for number, (tab, says) in enumerate(TABS.items(), 1):
        words = f"[{number} {says}]" if tab == chosen else f" {number} {says} "
        line.append(words, "bold" if tab == chosen else "")
    return line


def pattern_line(pattern: PatternView) -> Text:
    """Return a pattern's line: flagged ones say so first."""
    mark = "! " if pattern.flagged else "  "
    return Text(mark + pattern.says)


def whole_words(pattern: PatternView) -> str:
    """Return all there is to a pattern as a page of 80 columns."""
    parts = (pattern.says, pattern.numbers, pattern.practise)
    lines = [line for part in parts if part for line in wrap(part, _WIDTH, break_on_hyphens=False)]
    return "\n".join((*lines, "", *(f" {_cut(pitch)}" for pitch in pattern.pitches)))


def _cut(line: str) -> str:
    room = _WIDTH - 1
    return line if len(line) <= room else f"{line[: room - 1]}…"
