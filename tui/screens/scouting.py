"""Scouting: hitters, what a coach marked, what was seen of them, and what that says."""

from collections.abc import Iterable, Mapping
from typing import ClassVar

from textual.binding import BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widget import Widget
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from sequencer.baseball.marks import MARKS
from tui import keys
from tui.messages import (
    AskHistory,
    AskPage,
    AskPictures,
    ChooseTeam,
    MergePeople,
    SavePerson,
    SetMark,
    ShowHitter,
    TakeMergeBack,
)
from tui.picture_views import PicturesAsked, ZoneView
from tui.quick_marks import next_step
from tui.screens.choose import ChooseScreen, Field, FormScreen, PageScreen
from tui.screens.place import PlaceScreen, fill
from tui.screens.quick_marks import QuickMarksScreen
from tui.shares import SHARES
from tui.views import HitterView, ScoutingView, TraitsView
from tui.widgets.choices import Choices
from tui.widgets.field_picture import FieldPicture, large
from tui.widgets.trait_bars import TraitBars
from tui.widgets.zone_picture import ZonePicture

_PITCHES = (
    f"He pitches for us: {keys.PERSON_PAGE} opens his page, with strikes in any count, misses, "
    "and which pitches a hitter tells apart."
)
_WORKING = "Working out what sets him apart …"
#: The small pictures, in the order they are gone through.
_SMALL = tuple(share.title for share in SHARES)
_DOTS = {"": "   ", "once": "●  ", "some": "●● ", "always": "●●●"}


def mark_line(mark: str, how_often: str) -> str:
    """Return a mark's line: a dot for once, two for some, three for always, then its name."""
    return f"{_DOTS[how_often]} {mark}"


class ScoutingScreen(PlaceScreen):
    """What sets a hitter apart above; below it hitters, marks, and pitches seen with traits."""

    PLACE: ClassVar[str] = "scouting"
    BINDINGS: ClassVar[list[BindingType]] = [*keys.bindings("scouting")]

    def __init__(self) -> None:
        super().__init__()
        self._hitter: HitterView | None = None
        self._chosen = ""
        self._told = ""
        self._traits: TraitsView | None = None
        self._picture = 0
        self.complete = False

    def body(self) -> Iterable[Widget]:
        """Lay out the sentences and the three columns."""
        yield Static(id="says", markup=False)
        with Horizontal(id="columns"):
            yield Choices(id="hitters", markup=False)
            yield Choices(id="marks", markup=False)
            with Vertical(id="seen"):
                yield ZonePicture(id="zone")
                yield FieldPicture(id="spray")
                with VerticalScroll(id="page"):
                    yield Static(id="rests", markup=False)
                    yield TraitBars(id="traits")
                    yield Static(id="families", markup=False)

    def draw(self) -> None:
        """Draw the team's hitters."""
        view = self._view
        if not isinstance(view, ScoutingView):
            return
        self.title_line(f"Scouting: {view.team or 'no team yet'}")
        hitters = self.query_one("#hitters", OptionList)
        fill(hitters, view.hitters, self._chosen)
        for part in ("#says", "#columns"):
            self.query_one(part).visible = bool(view.hitters)
        if not view.hitters:
            self.say(
                "No hitter yet: a adds one, t chooses another team, Ctrl+P import FILE brings many."
            )
            return
        self.say("")
        if self.focused is None:
            hitters.focus()

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """Ask for the page of the hitter under the cursor."""
        if event.option_list.id == "hitters" and event.option.id:
            self.post_message(ShowHitter(event.option.id))

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Enter or a click: on a hitter go to his marks, on a mark one step more."""
        if event.option_list.id == "hitters":
            self.query_one("#marks", OptionList).focus()
        else:
            self._set(event.option.id or "", None)

    def choose(self, person_id: str, told: str = "") -> None:
        """Put the cursor on a hitter the next time the team is drawn; `told` stands on his page."""
        self._chosen, self._told = person_id, told

    def show_hitter(self, hitter: HitterView) -> None:
        """Draw a hitter's page."""
        same = self._hitter is not None and self._hitter.id == hitter.id
        if hitter.id != self._chosen:
            self._told = ""
        self._hitter, self._chosen = hitter, hitter.id
        marks = self.query_one("#marks", OptionList)
        at = marks.highlighted if same else 0
        marks.clear_options()
        marks.add_options([Option(mark_line(m, hitter.marks.get(m, "")), id=m) for m in MARKS])
        marks.highlighted = at or 0
        self.title_line(hitter.title)
        note = f"Note: {hitter.note}" if hitter.note else ""
        self.say(self._told or note)
        self.complete = False
        if not same:
            self._traits = None
            self.query_one(ZonePicture).view = ZoneView()
            for part in ("#rests", "#families"):
                self.query_one(part, Static).update("")
            self.query_one("#says", Static).update(_WORKING)
            self.query_one(TraitBars).show()
            self.query_one("#page", VerticalScroll).scroll_home(animate=False)

    def progress(self, person_id: str, words: str) -> None:
        """Say how far reading what the book has of a hitter is."""
        if self._hitter is not None and self._hitter.id == person_id and not self.complete:
            self.query_one("#says", Static).update(f"{words}   Esc stops it.")

    def stopped(self) -> None:
        """Say that it was stopped."""
        self.query_one("#says", Static).update("Stopped: c works out what sets him apart.")

    def action_compute(self) -> None:
        """Work the page of the hitter shown out anew."""
        if self._hitter is None:
            self.say("No hitter is chosen yet.")
            return
        self.query_one("#says", Static).update(_WORKING)
        self.post_message(ShowHitter(self._hitter.id))

    def show_traits(self, traits: TraitsView) -> None:
        """Draw traits with their spread, unless another hitter is shown by now."""
        if self._hitter is None or traits.hitter_id != self._hitter.id:
            return
        self._traits = traits
        pitcher = (_PITCHES,) if traits.pitches else ()
        self.query_one("#says", Static).update(" ".join((*pitcher, *traits.says)))
        self._draw_picture()
        self.query_one(TraitBars).show(traits.bars, traits.alike)
        self.query_one("#families", Static).update("\n".join(traits.seen))
        self.complete = True

    def action_zone(self) -> None:
        """Show the next picture: swings, misses, hard contact, where he hit it."""
        if self._traits is not None:
            self._picture = (self._picture + 1) % (len(_SMALL) + 1)
            self._draw_picture()

    def action_picture(self, cell: str = "") -> None:
        """Show the pictures of the hitter shown large, with the one that is shown small first."""
        traits, hitter = self._traits, self._hitter
        if traits is None or hitter is None:
            self.say("His pitches are not read yet." if hitter else "No hitter is chosen yet.")
            return
        if self._picture == len(_SMALL):
            self.app.push_screen(PageScreen(large(hitter.title, traits.sides)))
            return
        zone = traits.zone
        asked = PicturesAsked(
            hitter.title, "hitter", traits.points, zone.top_in, zone.bottom_in, zone.bats
        )
        self.post_message(AskPictures(asked, cell, _SMALL[self._picture]))

    def begin_with(self, title: str) -> None:
        """Show the small picture of what was looked at large, where there is one."""
        if title in _SMALL:
            self._picture = _SMALL.index(title)
            self._draw_picture()

    def _draw_picture(self) -> None:
        """Draw the picture chosen and say what it rests on."""
        traits = self._traits
        if traits is None:
            return
        shown = ((traits.zone, traits.rests_on), *traits.pictures)
        hit = self._picture == len(shown)
        zone, rests_on = (ZoneView(), traits.where_hit) if hit else shown[self._picture]
        self.query_one(ZonePicture).view = zone
        self.query_one(ZonePicture).display = not hit
        self.query_one(FieldPicture).field = traits.spray
        self.query_one(FieldPicture).display = hit
        self.query_one("#rests", Static).update("\n".join((rests_on, *traits.notes)))

    def action_history(self) -> None:
        """Show every at-bat of the hitter shown."""
        if self._hitter is not None:
            self.post_message(AskHistory(self._hitter.id))

    def action_quick(self) -> None:
        """Mark by number and letters, as they come up to the plate."""
        team = self._view.team if isinstance(self._view, ScoutingView) else ""

        async def keep(kind: str, number: str, what: str) -> str:
            return await self.front.keep_mark(kind, team, number, what)

        def kept(any_kept: bool | None) -> None:
            if any_kept:
                self._hitter = None
                self.post_message(ChooseTeam("scouting", team))

        self.app.push_screen(QuickMarksScreen(team, keep), kept)

    def on_resize(self) -> None:
        """Draw the bars as wide as there is room now."""
        self.call_after_refresh(self.query_one(TraitBars).draw)

    def action_mark(self, how_often: str) -> None:
        """Set the chosen mark."""
        mark = self._chosen_mark()
        if mark:
            self._set(mark, how_often)

    def action_mark_on(self) -> None:
        """Move the chosen mark one step on."""
        mark = self._chosen_mark()
        if mark:
            self._set(mark, None)

    def _chosen_mark(self) -> str:
        marks = self.query_one("#marks", OptionList)
        if marks.highlighted is None or self._hitter is None:
            return ""
        return marks.get_option_at_index(marks.highlighted).id or ""

    def _set(self, mark: str, how_often: str | None) -> None:
        if self._hitter is None or not mark:
            return
        step = next_step(self._hitter.marks.get(mark, "")) if how_often is None else how_often
        self.post_message(SetMark(self._hitter.id, mark, step))

    async def action_team(self) -> None:
        """Choose the team."""
        teams = await self.front.teams()
        chosen = self._view.team if isinstance(self._view, ScoutingView) else ""
        self.app.push_screen(ChooseScreen("Which team?", teams, chosen), self._team_chosen)

    def _team_chosen(self, team: str | None) -> None:
        if team:
            self._hitter = None
            self.post_message(ChooseTeam("scouting", team))

    def action_add_hitter(self) -> None:
        """Add a player to this team."""
        self.ask_person("", {})

    def action_person_page(self) -> None:
        """Show the whole page of the one shown."""
        if self._hitter is not None:
            self.post_message(AskPage(self._hitter.id))

    def action_merge(self) -> None:
        """Choose which other player of the team the one shown is."""
        if self._hitter is None or not isinstance(self._view, ScoutingView):
            return
        gone = self._hitter.id
        others = [choice for choice in self._view.hitters if choice.id != gone]
        if not others:
            self.say("There is nobody else in this team to merge him with.")
            return

        def merge(keep: str | None) -> None:
            if keep:
                self.post_message(MergePeople(keep, gone))

        who = self._hitter.title.partition(": ")[2].partition(",")[0]
        ask = f"{who} is one player with: (all pitches and marks go to the one chosen; u undoes)"
        self.app.push_screen(ChooseScreen(ask, others), merge)

    def action_unmerge(self) -> None:
        """Take the last merge into the player shown back."""
        if self._hitter is not None:
            self.post_message(TakeMergeBack(self._hitter.id))

    def action_edit_hitter(self) -> None:
        """Change what is said of the player shown."""
        if self._hitter is not None:
            self.ask_person(self._hitter.id, self._hitter.person)

    def ask_person(self, person_id: str, said: Mapping[str, str], told: str = "") -> None:
        """Show the form of a player; `told` says what was wrong with it the last time."""
        fields = [
            Field("name", "Name", said.get("name", "")),
            Field("number", "Number", said.get("number", "")),
            Field("bats", "Hits (S both)", said.get("bats", "R"), ("R", "L", "S", "?")),
            Field("throws", "Throws", said.get("throws", "?"), ("R", "L", "S", "?")),
            Field("signs", "Signs, as 1=fastball; 2=slider", said.get("signs", "")),
            Field("note", "Note", said.get("note", "")),
        ]
        team = self._view.team if isinstance(self._view, ScoutingView) else ""

        def keep(now: Mapping[str, str] | None) -> None:
            if now is not None:
                self.post_message(SavePerson(person_id, team, now))

        title = "Change a player" if person_id else "A new player"
        self.app.push_screen(FormScreen(title, fields, told), keep)
