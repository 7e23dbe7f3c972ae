"""Plan: the line-up down the side, counts and calls for the chosen hitter, trust, which pitcher."""

import textwrap
from collections.abc import Iterable
from typing import ClassVar

from rich.console import Group
from rich.table import Table
from rich.text import Text
from textual.binding import BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.widget import Widget
from textual.widgets import OptionList, Static

from tui import keys
from tui.messages import AskPage, AskPlan, ChoosePitcher, ChooseTeam
from tui.screens.choose import ChooseScreen
from tui.screens.place import PlaceScreen, fill
from tui.views import PlanSetUp, PlanView

#: Tenths of trust a plan can have; the model allows 0 to 0.9.
MOST_TRUST = 9
_COUNT_WIDTH = 3


def trust_words(trust: int) -> str:
    """Say how far the plan leans on the book."""
    bar = "■" * trust + "□" * (MOST_TRUST - trust)
    ends = {0: "safe", MOST_TRUST: "on the book"}
    return f"trust {bar} {trust / 10:g}" + (f" ({ends[trust]})" if trust in ends else "")


class PlanScreen(PlaceScreen):
    """One plan at a time: a team's hitters against one of our pitchers."""

    PLACE: ClassVar[str] = "plan"
    BINDINGS: ClassVar[list[BindingType]] = [*keys.bindings("plan")]

    def __init__(self) -> None:
        super().__init__()
        self._plan: PlanView | None = None
        self.trust = 0
        self._asked: tuple[str, str, int] | None = None
        self._looks = False

    @property
    def complete(self) -> bool:
        """Whether what was asked for is on the screen."""
        return self._plan is not None

    def body(self) -> Iterable[Widget]:
        """Lay out the line-up and the plan of one hitter."""
        with Horizontal(id="columns"):
            yield OptionList(id="hitters", markup=False)
            with VerticalScroll(id="page"):
                yield Static(id="head", markup=False)
                yield Static(id="counts", markup=False)

    def draw(self) -> None:
        """Draw whom the plan is for, and ask for it when it is not there yet."""
        view = self._view
        if not isinstance(view, PlanSetUp):
            return
        self._draw_title()
        hitters = self.query_one("#hitters", OptionList)
        fill(hitters, view.hitters, self._chosen())
        hitters.focus()
        if not view.hitters:
            self.say("No hitters to plan for: scouting (F2) adds them, t chooses another team.")
        elif not view.pitcher_id:
            self.say("No pitcher of ours yet: a new game (F6, n) names one; p chooses.")
        elif self._asked != (view.team, view.pitcher_id, self.trust):
            self.action_compute()

    def _draw_title(self) -> None:
        view = self._view
        if isinstance(view, PlanSetUp):
            who = view.pitcher or "no pitcher"
            self.title_line(f"Plan: {view.team} against {who}   {trust_words(self.trust)}")

    def _chosen(self) -> str:
        hitters = self.query_one("#hitters", OptionList)
        if hitters.highlighted is None or not hitters.option_count:
            return ""
        return hitters.get_option_at_index(hitters.highlighted).id or ""

    def on_option_list_option_highlighted(self) -> None:
        """Show the plan of the hitter under the cursor."""
        self._draw_hitter()

    def show_plan(self, plan: PlanView) -> None:
        """Draw a plan, unless another has been asked for since."""
        if plan.stamp != self._asked:
            return
        self._plan = plan
        self.say(" ".join(plan.notes))
        self._draw_hitter()

    def could_not(self, stamp: tuple[str, str, int], sentence: str) -> None:
        """Say why there is no plan."""
        if stamp == self._asked:
            self._plan = None
            self.say(sentence)
            self._draw_hitter()

    def progress(self, stamp: tuple[str, str, int], words: str) -> None:
        """Say how far the computation is."""
        if stamp == self._asked and self._plan is None:
            self.say(words)

    def _draw_hitter(self) -> None:
        head, counts = self.query_one("#head", Static), self.query_one("#counts", Static)
        chosen = self._chosen()
        if self._plan is None or chosen not in self._plan.counts:
            head.update("")
            counts.update("")
            return
        head.update("\n".join(self._plan.heads.get(chosen, ())))
        width = max(self.query_one("#page").size.width - _COUNT_WIDTH - 4, 20)
        table = count_lines(self._plan.counts[chosen], width, looks=self._looks)
        counts.update(Group(table, Text("\n".join(self._plan.arsenal))))

    def on_resize(self) -> None:
        """Wrap the calls again."""
        self.call_after_refresh(self._draw_hitter)

    def action_looks(self) -> None:
        """Show or hide what he would best look for in each count."""
        self._looks = not self._looks
        self._draw_hitter()

    def action_compute(self) -> None:
        """Ask for the plan."""
        view = self._view
        if isinstance(view, PlanSetUp) and view.hitters and view.pitcher_id:
            self._plan = None
            self._asked = (view.team, view.pitcher_id, self.trust)
            self.say("Working the plan out …")
            self._draw_hitter()
            hitters = tuple(choice.id for choice in view.hitters)
            self.post_message(AskPlan(self._asked, hitters))

    def action_trust(self, by: int) -> None:
        """Lean more or less on the book."""
        trust = min(max(self.trust + by, 0), MOST_TRUST)
        if trust != self.trust:
            self.trust = trust
            self._draw_title()
            self.action_compute()

    async def action_team(self) -> None:
        """Choose the team."""
        chosen = self._view.team if isinstance(self._view, PlanSetUp) else ""
        dialog = ChooseScreen("Plan for which team?", await self.front.teams(), chosen)
        self.app.push_screen(dialog, self._team_chosen)

    def _team_chosen(self, team: str | None) -> None:
        if team:
            self.post_message(ChooseTeam("plan", team))

    async def action_pitcher(self) -> None:
        """Choose the pitcher."""
        chosen = self._view.pitcher_id if isinstance(self._view, PlanSetUp) else ""
        dialog = ChooseScreen("Who pitches?", await self.front.pitchers(), chosen)
        self.app.push_screen(dialog, self._pitcher_chosen)

    def action_person_page(self) -> None:
        """Show the whole page of the pitcher planned with."""
        view = self._view
        if isinstance(view, PlanSetUp) and view.pitcher_id:
            self.post_message(AskPage(view.pitcher_id))

    def _pitcher_chosen(self, pitcher: str | None) -> None:
        if pitcher:
            self.post_message(ChoosePitcher("plan", pitcher))


def count_lines(counts: Iterable[tuple[str, str, str]], width: int, *, looks: bool) -> Table:
    """Return the counts: the count, its calls with shares, what he would look for."""
    table = Table.grid(padding=(0, 1))
    table.add_column(width=_COUNT_WIDTH, style="bold", no_wrap=True)
    table.add_column(no_wrap=True)
    for count, calls, looked in counts:
        table.add_row(count, _wrapped(calls, width))
        if looks:
            table.add_row("he", Text(_wrapped(looked, width), style="italic"))
    return table


def _wrapped(words: str, width: int) -> str:
    """Wrap between calls, never inside one: their own spaces do not break."""
    lines = textwrap.wrap(words, width, break_on_hyphens=False, break_long_words=False)
    return "\n".join(lines).replace("\u00a0", " ")
