"""Plan: the line-up down the side; counts and calls, trust, rules and answers for one hitter."""

import textwrap
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import ClassVar, Final

from rich.console import Group
from rich.table import Table
from rich.text import Text
from textual.binding import BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.widget import Widget
from textual.widgets import OptionList, Static

from tui import keys
from tui.messages import AskOfPlan, AskPage, AskPlan, ChoosePitcher, ChooseTeam
from tui.picture_views import PictureSet
from tui.screens.choose import ChooseScreen, Field, FormScreen, PageScreen
from tui.screens.picture import PictureScreen
from tui.screens.place import PlaceScreen, fill
from tui.views import BY_BOOK, PlanQuestion, PlanSetUp, PlanStamp, PlanView, Rules
from tui.widgets.choices import Choices
from tui.widgets.plan_zones import ROOM, PlanZones

#: Tenths of trust a plan can have; the model allows 0 to 0.9.
MOST_TRUST = 9
_COUNT_WIDTH = 3
_EVERYBODY: Final = "everybody"
_SUCH_AS: Final = "Such as: no changeup with two strikes; fastball 3-1."


def trust_words(trust: int) -> str:
    """Say how far the plan leans on the book."""
    if trust == BY_BOOK:
        return "trust by the book"
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
        self.trust = BY_BOOK
        self.rules: Rules = ()
        self._asked: PlanStamp | None = None
        self._looks = False
        self._page: PageScreen | None = None
        self._picture: PictureScreen | None = None
        self._answers: Mapping[str, str] = {}
        self._zones: dict[str, PictureSet] = {}
        self._drawing = ""

    @property
    def complete(self) -> bool:
        """Whether what was asked for is on the screen."""
        return self._plan is not None

    def waits_for(self, stamp: PlanStamp) -> bool:
        """Whether a plan is the one that was asked for last."""
        return stamp == self._asked

    def body(self) -> Iterable[Widget]:
        """Lay out the line-up and the plan of one hitter."""
        with Horizontal(id="columns"):
            yield Choices(id="hitters", markup=False)
            with VerticalScroll(id="page"):
                yield Static(id="head", markup=False)
                yield Static(id="counts", markup=False)
                yield PlanZones(id="zones")

    def draw(self) -> None:
        """Draw whom the plan is for, and ask for it when it is not there yet."""
        view = self._view
        if not isinstance(view, PlanSetUp):
            return
        self._draw_title()
        hitters = self.query_one("#hitters", OptionList)
        fill(hitters, view.hitters, self._chosen())
        hitters.focus()
        self.query_one("#columns").visible = bool(view.hitters)
        if not view.hitters:
            self.say("No hitters to plan for: scouting (F2) adds them, t chooses another team.")
        elif not view.pitcher_id:
            self.say("No pitcher of ours yet: a new game (F6, n) names one; p chooses.")
        elif self._asked != self._wanted(view):
            self.action_compute()

    def _wanted(self, view: PlanSetUp) -> PlanStamp:
        return PlanStamp(view.team, view.pitcher_id, self.trust, self.rules)

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
        self._say_what_is_known()

    # the plan

    def show_plan(self, plan: PlanView) -> None:
        """Draw a plan, unless another has been asked for since."""
        if not self.waits_for(plan.stamp):
            return
        self._plan, self._zones = plan, {}
        self._say_what_is_known()
        self._draw_hitter()

    def could_not(self, stamp: PlanStamp, sentence: str) -> None:
        """Say why there is no plan."""
        if self.waits_for(stamp):
            self._plan = None
            self.say(sentence)
            self._draw_hitter()

    def stopped(self) -> None:
        """Say that it was stopped; a plan that was on its way is asked for anew later."""
        if self._plan is None:
            self._asked = None
            self.say("Stopped: c works the plan out again.")
        else:
            self.say("Stopped: nothing was written, the plan stands.")

    def progress(self, stamp: PlanStamp, words: str) -> None:
        """Say how far a computation is."""
        if self.waits_for(stamp):
            self.say(f"{words}   Esc stops it.")

    def _say_what_is_known(self) -> None:
        """Say the answer for the hitter under the cursor, else the notes of the plan."""
        if self._plan is not None:
            self.say(self._answers.get(self._chosen()) or " ".join(self._plan.notes))

    def _draw_hitter(self) -> None:
        head, counts = self.query_one("#head", Static), self.query_one("#counts", Static)
        chosen = self._chosen()
        if self._plan is None or chosen not in self._plan.counts:
            head.update("\n".join(self._rule_lines()))
            counts.update("")
            self.query_one(PlanZones).show(None)
            return
        head.update("\n".join(self._plan.heads.get(chosen, ())))
        width = max(self.query_one("#page").size.width - _COUNT_WIDTH - 4, 20)
        table = count_lines(self._plan.counts[chosen], width, looks=self._looks)
        turns = self._plan.turns.get(chosen, ())
        beneath = (*("",) * bool(turns), *turns, *self._plan.arsenal)
        counts.update(Group(table, Text("\n".join(beneath))))
        self._draw_zones()

    def _draw_zones(self) -> None:
        """Draw where the calls would go, where there is room; ask for it where it is not known."""
        chosen, (width, height) = self._chosen(), self.app.size
        room = width >= ROOM[0] and height >= ROOM[1]
        there = self._zones.get(chosen) if room and self._plan is not None else None
        self.query_one(PlanZones).show(there)
        asked = self._plan is not None and chosen in self._plan.counts
        if room and asked and there is None and self._asked is not None:
            self._drawing = chosen
            self.post_message(AskOfPlan(self._asked, "zones", chosen))

    def _rule_lines(self) -> list[str]:
        """Return the rules in force while there is no plan that says what they cost."""
        return [f"rule: {words}" + (" (one hitter)" if who else "") for who, words in self.rules]

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
            self._plan, self._answers = None, {}
            self._asked = self._wanted(view)
            self.say("Working the plan out …   Esc stops it.")
            self._draw_hitter()
            hitters = tuple(choice.id for choice in view.hitters)
            self.post_message(AskPlan(self._asked, hitters))

    # trust and rules

    def action_trust(self, by: int) -> None:
        """Lean more or less on the book; from trust by the book, more begins at a tenth."""
        self._trust(min(max(max(self.trust, 0) + by, 0), MOST_TRUST))

    def action_trust_book(self) -> None:
        """Trust each hitter's page as far as it is known."""
        self._trust(BY_BOOK)

    def _trust(self, trust: int) -> None:
        if trust != self.trust:
            self.trust = trust
            self._draw_title()
            self.action_compute()

    async def action_rule(self, words: str) -> None:
        """Put a rule against everybody in force, or take it back."""
        self._rule((await self.front.rules_with(self.rules, "", words))[0])

    def action_rules_off(self) -> None:
        """Take every rule back."""
        self._rule(())

    def _rule(self, rules: Rules) -> None:
        if rules != self.rules:
            self.rules = rules
            self.action_compute()

    def action_type_rule(self) -> None:
        """Ask for a rule in words, against everybody or the hitter under the cursor."""
        if isinstance(self._view, PlanSetUp) and self._chosen():
            self._ask_rule("", _EVERYBODY, _SUCH_AS)

    def _ask_rule(self, rule: str, whom: str, told: str) -> None:
        him = next(one.says for one in self._view.hitters if one.id == self._chosen())
        whose = (_EVERYBODY, " ".join(him.split()))
        fields = (Field("rule", "Rule", rule), Field("whom", "Against", whom, whose))
        self.app.push_screen(FormScreen("A rule for the calls", fields, told), self._rule_typed)

    async def _rule_typed(self, said: Mapping[str, str] | None) -> None:
        """Put a rule in force; one that cannot be read comes back with the reason."""
        if not said or not said["rule"]:
            return
        who = "" if said["whom"] == _EVERYBODY else self._chosen()
        rules, refused = await self.front.rules_with(self.rules, who, said["rule"])
        if refused:
            self._ask_rule(said["rule"], said["whom"], refused)
            return
        self._rule(rules)

    # questions

    def _ask(self, question: PlanQuestion, words: str = "") -> bool:
        if self._plan is None or self._asked is None:
            self.say("The plan is not there yet." if self._asked else "There is no plan yet.")
            return False
        self.post_message(AskOfPlan(self._asked, question, words))
        return True

    def answered(
        self,
        stamp: PlanStamp,
        question: PlanQuestion,
        answer: PlanView | PictureSet | Mapping[str, str] | str,
    ) -> None:
        """Show the answer to a question about this plan."""
        if not self.waits_for(stamp):
            return
        if isinstance(answer, PlanView):
            self._answers = {id_: flips_said(rows) for id_, rows in answer.counts.items()}
            self.show_plan(answer)
        elif isinstance(answer, PictureSet):
            if question == "zones":
                self._zones[self._drawing] = answer
                self._draw_zones()
            elif self._picture is not None:
                self._picture.show(answer)
        elif not isinstance(answer, str):
            self._answers = answer
            self._say_what_is_known()
        elif question in ("why", "or him") and self._page is not None:
            self._page.show(answer)
            self._say_what_is_known()
        else:
            self._say_until_asked(answer)

    def cannot_answer(self, stamp: PlanStamp, sentence: str) -> None:
        """Say why a question about this plan has no answer."""
        if self.waits_for(stamp):
            self._say_until_asked(sentence)

    def _say_until_asked(self, sentence: str) -> None:
        """Say a sentence that stays, whoever is chosen, until something else is asked."""
        hitters = self._view.hitters if isinstance(self._view, PlanSetUp) else ()
        self._answers = {choice.id: sentence for choice in hitters}
        self.say(sentence)

    def action_coin_flips(self) -> None:
        """Ask which calls turn when what is not known moves within its doubt."""
        self._ask("coin flips")

    def action_why(self) -> None:
        """Show why of each call against the hitter under the cursor."""
        if self._ask("why", self._chosen()):
            self._page = PageScreen("Gathering the reasons …")
            self.app.push_screen(self._page)

    def action_picture(self, cell: str = "") -> None:
        """Show where the calls against the hitter under the cursor would go, count by count."""
        held = self._zones.get(self._chosen())
        if held is not None or self._ask("picture", self._chosen()):
            self._picture = PictureScreen(cell)
            self.app.push_screen(self._picture)
        if held is not None and self._picture is not None:
            self._picture.show(held)

    def action_what_if(self) -> None:
        """Ask for a call the coach prefers, and what it costs."""
        if self._plan is None:
            self._ask("what if")
            return
        told = "Such as: curveball 0-0; fastball away 1-2; 3 of 10 changeup 2-1."
        form = FormScreen("What if we call …", (Field("call", "Call and count"),), told)
        self.app.push_screen(form, self._what_if_typed)

    def _what_if_typed(self, said: Mapping[str, str] | None) -> None:
        if said and said["call"]:
            self._ask("what if", said["call"])

    async def action_or_him(self) -> None:
        """Hold another pitcher for tonight against this one."""
        if self._plan is None:
            self._ask("or him")
            return
        his = self._asked.pitcher_id if self._asked else ""
        others = [one for one in await self.front.pitchers() if one.id != his]
        if not others:
            self.say("There is no other pitcher of ours: a new game (F6, n) names one.")
            return
        self.app.push_screen(ChooseScreen("Him, or who for tonight?", others), self._other_chosen)

    def _other_chosen(self, pitcher: str | None) -> None:
        if pitcher and self._ask("or him", pitcher):
            self._page = PageScreen("Planning the other pitcher …")
            self.app.push_screen(self._page)

    def action_card(self) -> None:
        """Ask where to write the card."""
        view = self._view
        if self._plan is None or not isinstance(view, PlanSetUp):
            self._ask("card")
            return
        file = Path.home() / f"card {view.team} - {view.pitcher}.pdf".replace("/", " ")
        told = "The ending says what it is: .pdf, .html, .png or .txt."
        form = FormScreen("Write the card", (Field("file", "File", str(file)),), told)
        self.app.push_screen(form, self._card_named)

    def _card_named(self, said: Mapping[str, str] | None) -> None:
        if said and said["file"]:
            self._ask("card", said["file"])

    # whom it is for

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


def flips_said(counts: Iterable[tuple[str, str, str]]) -> str:
    """Say in which counts a coin flip is marked."""
    marked = [count for count, calls, _ in counts if "~" in calls]
    if not marked:
        return "No count is a coin flip."
    return f"~ coin flip at {', '.join(marked)}: under the counts stands what it hangs on."


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
