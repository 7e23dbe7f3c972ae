"""The app: saves, then shows, then asks a worker; a stale answer is dropped."""

from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Any, cast

from textual.app import SystemCommand
from textual.screen import Screen

from sequencer.errors import CoachError
from sequencer.records.keymaps import KEYMAPS
from tui import keys, messages
from tui import settings as kept
from tui.one_thread import Stopped
from tui.practice_app import PracticeApp
from tui.themes import THEMES
from tui.views import AdviceAsked, Rules

if TYPE_CHECKING:
    from sequencer.live.same_person import Joined
    from tui.screens.choose import PageScreen
    from tui.screens.dugout import DugoutScreen
    from tui.screens.games import GamesScreen
    from tui.screens.plan import PlanScreen
    from tui.screens.scouting import ScoutingScreen
    from tui.views import Choice, PlanStamp


class SequencerApp(PracticeApp):
    """The terminal UI: what each message of a screen does."""

    # games and the dugout

    async def on_open_game(self, message: messages.OpenGame) -> None:
        """Open a game in the dugout."""
        assert self.desk is not None
        if await self._at_desk(self.desk.open_game, message.game_id) is not None:
            await self.action_place("dugout")

    async def on_ask_game_form(self, message: messages.AskGameForm) -> None:
        """Show the form of a new game."""
        assert self.desk is not None
        form = await self._at_desk(self.desk.game_form)
        if form is not None:
            self._games().ask_game(form)

    async def on_make_game(self, message: messages.MakeGame) -> None:
        """Make a game and open it; a form that cannot be kept comes back with the reason."""
        assert self.desk is not None
        try:
            await self.at_desk.run(self.desk.new_game, message.said)
        except CoachError as error:
            form = await self.at_desk.run(self.desk.game_form)
            self._games().ask_game(form, message.said, str(error))
            return
        await self.action_place("dugout")

    async def on_ask_rules(self, message: messages.AskRules) -> None:
        """Show the rule changes of a game."""
        assert self.desk is not None
        form = await self._at_desk(self.desk.rules_form, message.game_id)
        if form is not None:
            self._games().ask_rules(message.game_id, form.title, form.edits, form.told)

    async def on_change_rules(self, message: messages.ChangeRules) -> None:
        """Keep a game's rule changes; those that cannot be kept come back with the reason."""
        assert self.desk is not None
        try:
            says = await self.at_desk.run(self.desk.change_rules, message.game_id, message.said)
        except CoachError as error:
            form = await self.at_desk.run(self.desk.rules_form, message.game_id)
            edits = message.said["rule_edits"]
            self._games().ask_rules(message.game_id, form.title, edits, str(error))
            return
        self._games().say(says)

    def _games(self) -> "GamesScreen":
        return cast("GamesScreen", self.place_screen("games"))

    async def save(self, entry: Any, first: Any = None) -> str:
        """Save a pitch (and the hitter named before it), then show; returns why not."""
        assert self.desk is not None
        return await self._then_show(self.desk.log, entry, first)

    async def carry_out(self, command: Any, before: int = 0) -> str:
        """Carry out a command of the entry grammar, before a pitch or at the end, then show."""
        assert self.desk is not None
        return await self._then_show(self.desk.carry_out, command, before)

    async def insert(self, n: int, pitch: Any) -> str:
        """Save a pitch that was missed as the game's n-th, then show; returns why not."""
        assert self.desk is not None
        return await self._then_show(self.desk.insert, n, pitch)

    async def next_three(self) -> str:
        """Return the page of the next three hitters."""
        assert self.desk is not None
        return await self._at_desk(self.desk.next_three) or ""

    async def hide_advice(self, hidden: bool) -> None:
        """Keep whether advice is hidden in this game."""
        assert self.desk is not None
        await self._at_desk(self.desk.hide_advice, hidden)

    async def _then_show(self, work: Callable[..., Any], *args: Any) -> str:
        try:
            view = await self.at_desk.run(work, *args)
        except CoachError as error:
            return str(error)
        self._dugout().show(view)
        return ""

    async def say_line(self, line: str, shown: str = "") -> str:
        """Carry out an entry typed as a line, a call being shown or none; returns the answer."""
        assert self.desk is not None
        if line.split()[:1] in (["rule"], ["rules"]):
            return await self._say_rule(line)
        try:
            answer, view = await self.at_desk.run(self.desk.say_line, line, shown)
        except CoachError as error:
            return f"no {error}"
        self._dugout().show(view)
        return answer

    async def address(self, seq: int) -> tuple[str, str]:
        """Return where the event of a row stands, as lines name it, and the line that says it."""
        assert self.desk is not None
        return await self._at_desk(self.desk.address, seq) or ("", "")

    async def _say_rule(self, line: str) -> str:
        """Keep what a line says of the coach's rules, for the plan too; logging never waits."""
        assert self.desk is not None
        try:
            answer, rules = await self.at_advice.run(self.desk.say_rule, line, self.rules)
        except CoachError as error:
            return f"no {error}"
        if rules != self.rules:
            self.rules = rules
            if "plan" in self._places:
                cast("PlanScreen", self.place_screen("plan")).rules = rules
            self._dugout().ask_anew()
        return answer

    async def on_entered(self, message: messages.Entered) -> None:
        """Give the plan the rules that were said in the dugout before it was first opened."""
        plan = cast("PlanScreen", message.screen)
        if message.place == "plan" and not plan.rules:
            plan.rules = self.rules

    def _dugout(self) -> "DugoutScreen":
        return cast("DugoutScreen", self.place_screen("dugout"))

    async def pitchers(self) -> "tuple[Choice, ...]":
        """Return our pitchers."""
        assert self.desk is not None
        return await self._at_desk(self.desk.pitchers) or ()

    async def teams(self) -> "tuple[Choice, ...]":
        """Return the teams of the book."""
        assert self.desk is not None
        return await self._at_desk(self.desk.teams) or ()

    def on_ask_advice(self, message: messages.AskAdvice) -> None:
        """Show the next call as it stands, then as the last pitch has it; a later request wins."""
        self._think("advice", self._advise, message.stamp)

    async def _advise(self, stamp: int) -> None:
        await self.can_think.wait()
        if self.desk is None or self.advisor is None or self.desk.session is None:
            return
        state, asked = self.desk.session.state, AdviceAsked(stamp, self.trust, self.rules)
        dugout, ask = self._dugout(), self.at_advice.run
        try:
            standing = await ask(self.advisor.advise_at_once, state, asked)
            if standing is not None:
                dugout.advise(standing)
            advice = await ask(self.advisor.advise, state, asked, self._reading(dugout))
        except CoachError as error:
            dugout.no_advice(stamp, str(error))
            return
        except Stopped:
            return
        dugout.advise(advice)
        dugout.show_ways(await ask(self.advisor.beside, state, asked))

    def _reading(self, dugout: "DugoutScreen") -> "Callable[[str], None]":
        """Return what tells how far reading for advice is, and ends it once advice is hidden.

        A pitch logged meanwhile does not end it: the call after it needs the same games.
        """

        def told(words: str) -> None:
            if dugout.score_only:
                raise Stopped
            self.call_later(dugout.reading, words)

        return told

    # scouting

    async def on_show_hitter(self, message: messages.ShowHitter) -> None:
        """Show a hitter's page, then work out what was seen of him and his traits."""
        await self._show_hitter(message.person_id)

    async def _show_hitter(self, person_id: str) -> None:
        assert self.desk is not None
        view = await self._at_desk(self.desk.hitter, person_id)
        if view is not None:
            self._scouting().show_hitter(view)
            self._think("scouting: traits", self._traits, person_id)

    def _scouting(self) -> "ScoutingScreen":
        return cast("ScoutingScreen", self.place_screen("scouting"))

    async def _traits(self, person_id: str) -> None:
        await self.can_think.wait()
        if self.thinker is not None:
            screen = self._scouting()
            work, told = self.thinker.traits, self.telling(partial(screen.progress, person_id))
            screen.show_traits(await self.at_thought.run_stoppable(work, person_id, told))

    async def on_set_mark(self, message: messages.SetMark) -> None:
        """Keep a mark, then show it."""
        assert self.desk is not None
        await self._at_desk(self.desk.set_mark, message.person_id, message.mark, message.how_often)
        await self._show_hitter(message.person_id)

    async def on_save_person(self, message: messages.SavePerson) -> None:
        """Keep what a form said of a player; a form that cannot be kept comes back with why."""
        assert self.desk is not None
        try:
            person = await self.at_desk.run(
                self.desk.save_person, message.person_id, message.team, message.said
            )
        except CoachError as error:
            self._scouting().ask_person(message.person_id, message.said, str(error))
            return
        self._scouting().choose(person)
        await self._refresh_place("scouting")
        await self._show_hitter(person)

    async def on_merge_people(self, message: messages.MergePeople) -> None:
        """Make two entries one player, and show him."""
        assert self.desk is not None
        await self._join(" u takes it back.", self.desk.make_one, message.keep, message.gone)

    async def on_take_merge_back(self, message: messages.TakeMergeBack) -> None:
        """Take the last merge into a player back, and show him."""
        assert self.desk is not None
        await self._join("", self.desk.make_two, message.person_id)

    async def _join(self, more: str, work: "Callable[..., Joined]", *who: str) -> None:
        try:
            joined = await self.at_desk.run(work, *who)
        except CoachError as error:
            self._scouting().say(str(error))
            return
        self._scouting().choose(joined.person.id, joined.says + more)
        await self._refresh_place("scouting")
        await self._show_hitter(joined.person.id)

    async def on_choose_team(self, message: messages.ChooseTeam) -> None:
        """Show another team."""
        assert self.desk is not None
        await self._at_desk(self.desk.choose_team, message.team)
        await self._refresh_place(message.place)

    async def on_choose_pitcher(self, message: messages.ChoosePitcher) -> None:
        """Show another of our pitchers."""
        assert self.desk is not None
        await self._at_desk(self.desk.choose_pitcher, message.pitcher_id)
        await self._refresh_place(message.place)

    # plan and review

    def on_ask_plan(self, message: messages.AskPlan) -> None:
        """Work a plan out; a later request takes the place of this one.

        Advice in the dugout trusts the same and keeps the same rules, whoever pitches.
        """
        self.trust, self.rules = message.stamp.trust, message.stamp.rules
        self._think("plan", self._plan, message.stamp, message.hitters)

    async def _plan(self, stamp: "PlanStamp", hitters: tuple[str, ...]) -> None:
        screen = cast("PlanScreen", self.place_screen("plan"))
        await self.can_think.wait()
        if self.thinker is None:
            return
        told = self._telling(screen, stamp)
        try:
            plan = await self.at_thought.run_stoppable(self.thinker.plan, stamp, hitters, told)
        except CoachError as error:
            screen.could_not(stamp, str(error))
            return
        screen.show_plan(plan)

    def _telling(self, screen: "PlanScreen", stamp: "PlanStamp") -> "Callable[[str], None]":
        """Return what tells how far a plan is, and ends work that nobody waits for any more."""

        def told(words: str) -> None:
            if not screen.waits_for(stamp):
                raise CoachError("Another plan has been asked for since.")
            self.call_later(screen.progress, stamp, words)

        return told

    async def rules_with(self, rules: Rules, whom: str, words: str) -> tuple[Rules, str]:
        """Return rules with one more or without it, and why words are none ("" where they are)."""
        try:
            # At the desk: advice under way may take long, and the key waits for this.
            return await self.at_desk.run(_toggled, rules, whom, words), ""
        except CoachError as error:
            return rules, str(error)

    def on_ask_of_plan(self, message: messages.AskOfPlan) -> None:
        """Answer a question about the plan on the screen, unless another is asked for first."""
        self._think(f"plan: {message.question}", self._of_plan, message)

    async def _of_plan(self, asked: messages.AskOfPlan) -> None:
        screen = cast("PlanScreen", self.place_screen("plan"))
        if self.thinker is None:
            return
        told, work = self._telling(screen, asked.stamp), self.thinker.of_plan
        try:
            answer = await self.at_thought.run_stoppable(
                work, asked.question, asked.stamp, asked.words, told
            )
        except CoachError as error:
            # What nobody asked for by a key is left out without a word.
            if asked.question != "zones":
                screen.cannot_answer(asked.stamp, str(error))
            return
        screen.answered(asked.stamp, asked.question, answer)

    def on_ask_page(self, message: messages.AskPage) -> None:
        """Show the whole page of a person over the place, filled in once it is worked out."""
        from tui.screens.choose import PageScreen

        if len(self.screen_stack) > 1:
            return
        screen = PageScreen()
        self.show_page(screen)
        self._think("page", self._page, message.person_id, screen)

    async def _page(self, person_id: str, screen: "PageScreen") -> None:
        await self.can_think.wait()
        if self.thinker is None or screen not in self.screen_stack:
            return
        try:
            work, told = self.thinker.page, self.telling(screen.show)
            words = await self.at_thought.run_stoppable(work, person_id, told)
        except CoachError as error:
            words = str(error)
        screen.show(words)

    # help, palette, themes, key maps

    def action_help(self) -> None:
        """Show the help of this place, or put it away."""
        from tui.help_page import page
        from tui.screens.choose import HelpScreen

        if isinstance(self.screen, HelpScreen):
            self.pop_screen()
        elif len(self.screen_stack) == 1 and self.desk is not None:
            self.push_screen(HelpScreen(page(self.current_mode, self.keymap)))

    def action_next_theme(self) -> None:
        """Show the next theme, and keep it."""
        names = [theme.name for theme in THEMES]
        self._keep(theme=names[(names.index(self.theme) + 1) % len(names)])
        if self.ansi_color:
            told = f"Theme: {self.theme}. NO_COLOR is set, so that no theme shows a colour."
            self.notify(told, timeout=5, markup=False)

    def _keep(self, **changes: Any) -> None:
        self.settings = replace(self.settings, **changes)
        kept.save(self.settings)
        self.theme = self.settings.theme
        self.keymap = kept.keymap_of(self.settings)
        if "dugout" in self._places:
            self._dugout().draw()

    def get_system_commands(self, screen: Screen[Any]) -> Iterable[SystemCommand]:
        """List the key table in the palette: every place and what this place can do."""
        for key in keys.KEYS:
            if key.place == keys.EVERYWHERE and key.action != "command_palette":
                yield SystemCommand(key.says, key.shown, self._runs(key.action, self))
            elif key.place == self.current_mode:
                yield SystemCommand(key.says, key.shown, self._runs(key.action, screen))
        for theme in THEMES:
            yield SystemCommand(f"theme: {theme.name}", "", self._keeps(theme=theme.name))
        for name in KEYMAPS:
            yield SystemCommand(f"dugout keys: {name}", "", self._keeps(keymap=name))

    def _runs(self, action: str, where: Any) -> Callable[[], None]:
        def run() -> None:
            self.run_worker(self.run_action(action, where), group="palette")

        return run

    def _keeps(self, **changes: Any) -> Callable[[], None]:
        return lambda: self._keep(**changes)


def _toggled(rules: Rules, whom: str, words: str) -> Rules:
    from sequencer.live.coaching import toggled

    return toggled(rules, whom, words)
