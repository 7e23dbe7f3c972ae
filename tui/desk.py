"""The desk: owns the book and the game being logged; every call is made on one thread."""

import datetime as dt
from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from typing import Any, Final

from sequencer.baseball.rules import read_edits
from sequencer.errors import BookError, NotInBook
from sequencer.live import same_person
from sequencer.live.plain_log import PlainLog
from sequencer.live.plain_rules import Rules
from sequencer.live.rule_changes import change_rules
from sequencer.live.same_person import Joined
from sequencer.live.session import Session
from sequencer.records.entry import Command, default_signs
from sequencer.records.event import Event, Side
from sequencer.records.game import Game
from sequencer.records.next_three import next_three
from sequencer.records.people import Mark, Person
from sequencer.records.pitch import Pitch
from sequencer.records.said_as_line import address, event_at, event_line
from sequencer.records.store import Book, open_book
from tui import (
    desk_dugout,
    desk_finding,
    desk_forms,
    desk_marking,
    review_choices,
    score_only,
)
from tui.bullpen_desk import Pens
from tui.desk_dugout import Place
from tui.drawing import dugout_view, name_of
from tui.finding import Findable
from tui.settings import remember_game, remembered_game
from tui.views import (
    BullpenView,
    Choice,
    DugoutView,
    GameForm,
    GameLine,
    GamesView,
    HitterView,
    PlanSetUp,
    ReviewLists,
    ReviewSetUp,
    RulesForm,
    ScoutingView,
)

#: A game of today or yesterday that is not over is the one being logged (assumption).
_RECENT: Final = dt.timedelta(days=1)
#: Why a line draws no call in the dugout.
_BY_KEY: Final = "One key draws the call here and shows it: ? lists the keys."
#: Games looked through for what a pitcher throws when he has no bullpens (assumption).
_GAMES_BACK: Final = 3
#: Signs shown of a pitcher of whom nothing is known.
_SHOWN: Final = 4
#: All the signs of a pitcher, and those to show.
Signs = tuple[Mapping[str, str], tuple[str, ...]]


class Desk:
    """What the UI does with the book. Errors are sentences (CoachError)."""

    def __init__(self, path: str) -> None:
        self.book: Book = open_book(path)
        self.path = path
        self.session: Session | None = None
        self._team = ""
        self._pitcher = ""
        self._signs: dict[str, Signs] = {}
        self._pen_signs: dict[str, Signs] = {}
        self.pens = Pens(self.book)

    def close(self) -> None:
        """Let go of the book."""
        self.book.close()

    # games

    def games(self) -> GamesView:
        """Return the games, newest first."""
        stamps = self.book.stamps()
        games = self.book.games()[::-1]
        lines = tuple(self._game_line(game, stamps.get(game.id, 0)) for game in games)
        teams = tuple(team.name for team in self.book.teams())
        return GamesView(self.path, lines, teams, 0 if games else len(self.book.people()))

    def _game_line(self, game: Game, rows: int) -> GameLine:
        at = "at home to" if game.home == "us" else "away at"
        again = f" ({game.game_no})" if game.game_no > 1 else ""
        said = f"{game.date}{again}  {game.us} {at} {game.them}   {game.game}"
        being = self.session is not None and self.session.game.id == game.id
        empty = "   nothing logged yet" if not rows else ""
        return GameLine(game.id, said + ("   open in the dugout" if being else empty), being)

    def resume(self, named: str | None = None) -> bool:
        """Open the game named, else the one that was being logged; returns whether there is one.

        Raises
        ------
        NotInBook
            If the named game is not in the book.
        """
        if named:
            game = self.book.find_game(named)
            if game is None:
                raise NotInBook(f"No game in the book is called {named}: F6 lists the games.")
            self.open_game(game.id)
            return True
        game = self._going_on()
        session = Session(self.book, game) if game else None
        if session is None or session.state.over_reason:
            return False
        self._began(session)
        return True

    def _going_on(self) -> Game | None:
        """Return the game last in the dugout in the last day, else the newest of about today."""
        games = self.book.games()
        last = remembered_game(self.book.path)
        recent = [game for game in games if abs(dt.date.today() - game.date) <= _RECENT]
        held = [game for game in games if game.id == last]
        likely = recent + held
        return likely[-1] if likely else None

    def open_game(self, game_id: str) -> DugoutView:
        """Open a game in the dugout."""
        self._began(self._session_of(game_id))
        return self._view()

    def _began(self, session: Session) -> None:
        self.session = session
        remember_game(self.book.path, session.game.id)
        self._team = session.game.them
        self._pitcher = session.state.pitchers.get("us", "") or self._pitcher

    def game_form(self) -> GameForm:
        """Return what a new game may be, beginning with what the last one was."""
        pitcher = next((c.says for c in self.pitchers() if c.id == self._pitcher), "")
        return desk_forms.game_form(self.book, pitcher)

    def new_game(self, said: Mapping[str, str]) -> DugoutView:
        """Make a game of what a form said, and open it (see `desk_forms.new_game`)."""
        self._began(desk_forms.new_game(self.book, said))
        return self._view()

    def rules_form(self, game_id: str) -> RulesForm:
        """Return what the form of a game's rules shows."""
        return desk_forms.rules_form(self._session_of(game_id).game)

    def change_rules(self, game_id: str, said: Mapping[str, str]) -> str:
        """Keep what a form said of a game's rules; returns what changed."""
        session = self._session_of(game_id)
        edits = read_edits(said["rule_edits"])
        return change_rules(session, edits, instead=True) or "The rules are as they were."

    def _session_of(self, game_id: str) -> Session:
        """Return the session of a game, the one being logged where it is that game's."""
        if self.session is not None and self.session.game.id == game_id:
            return self.session
        game = self.book.find_game(game_id)
        if game is None:
            raise NotInBook("That game is no longer in the book.")
        return Session(self.book, game)

    # the dugout

    def dugout(self) -> DugoutView | None:
        """Return the game being logged as it stands, None when no game is open."""
        if self.session is None:
            return None
        self.session.refresh()
        return self._view()

    def _view(self) -> DugoutView:
        session = self._game()
        state = session.state
        view = dugout_view(state, session.last_seq, *self._signs_of(state.pitcher))
        view = replace(view, advice_hidden=score_only.remembered(self.book.path, state.game.id))
        if not session.notice:
            return view
        return replace(view, problems=(*view.problems, session.notice))

    def _game(self) -> Session:
        if self.session is None:
            raise BookError("No game is open: F6 shows the games and makes a new one.")
        return self.session

    def log(self, pitch: Pitch, first: Command | None = None) -> DugoutView:
        """Save a pitch, and before it the hitter whose number was typed; returns the game after."""
        if first is not None:
            self._do(first)
        self._game().add(pitch)
        return self._view()

    def insert(self, n: int, pitch: Pitch) -> DugoutView:
        """Save a pitch that was missed, as the game's n-th; returns the game after."""
        self._game().insert(n, pitch)
        return self._view()

    def next_three(self) -> str:
        """Return the page of the next three hitters."""
        return next_three(self._game().state, name_of)

    def hide_advice(self, hidden: bool) -> None:
        """Keep whether advice is hidden in this game."""
        score_only.remember(self.book.path, self._game().game.id, hidden)

    def carry_out(self, command: Command, before: int = 0) -> DugoutView:
        """Carry out a command of the entry grammar; returns the game after.

        An event goes before a pitch of the game, where one is named.
        """
        self._do(command, before)
        return self._view()

    def _do(self, command: Command, before: int = 0) -> None:
        session, said = self._game(), command.said
        place = Place(session, before)
        acts: dict[str, Callable[[], Any]] = {
            "undo": session.undo,
            "redo": session.redo,
            "amend": lambda: desk_dugout.amend(session, said),
            "move": lambda: desk_dugout.move(session, said),
            "runner": lambda: desk_dugout.runner(place, said),
            "at": lambda: desk_dugout.at(place, said),
            "sub": lambda: desk_dugout.come_in(place, said),
            "absent": lambda: desk_dugout.absent(place),
            "there": lambda: desk_dugout.there(place, said),
        }
        # Any other command is an event of its name; ours pitch and catch, also while we hit.
        event = {"event": command.name, **said}
        acts.get(command.name, lambda: place.put(Event.model_validate(event)))()

    def say_line(self, line: str, shown: str = "") -> tuple[str, DugoutView]:
        """Carry out a line of `log --plain`; returns its answer and the game after.

        A pitch keeps the call that was shown before it.
        """
        answer = PlainLog(self._game(), shown=shown, elsewhere=_BY_KEY).answer(line)
        return answer, self._view()

    def address(self, seq: int) -> tuple[str, str]:
        """Return where the event of a row stands, as lines name it, and the line that says it."""
        state = self._game().state
        item = event_at(state, seq)
        return (address(state, seq), event_line(state, item)) if item else ("", "")

    def say_rule(self, line: str, rules: Rules) -> tuple[str, Rules]:
        """Carry out a line about the coach's rules; returns its answer and the rules after."""
        log = PlainLog(self._game(), rules=rules)
        return log.answer(line), log.rules

    # pitchers and teams

    def pitchers(self) -> tuple[Choice, ...]:
        """Return our people, those who have pitched first."""
        ours = {team.name for team in self.book.teams() if team.ours}
        if self.session is not None:
            ours = {self.session.game.us}
        thrown = {pen.pitcher for pen in self.book.bullpens()}
        if self.session is not None:
            thrown |= set(self.session.state.pitch_counts)
        people = [one for one in self.book.people() if one.team in ours]
        ordered = sorted(people, key=lambda one: one.id not in thrown)
        return tuple(Choice(one.id, one.label) for one in ordered)

    def choose_pitcher(self, pitcher_id: str) -> None:
        """Plan and review for another pitcher from now on."""
        self._pitcher = pitcher_id

    def teams(self) -> tuple[Choice, ...]:
        """Return the teams, opponents first."""
        teams = sorted(self.book.teams(), key=lambda team: (team.ours, team.name))
        return tuple(
            Choice(team.name, team.name + ("   (ours)" if team.ours else "")) for team in teams
        )

    def choose_team(self, team: str) -> None:
        """Scout and plan another team from now on."""
        self._team = team

    def _signs_of(self, pitcher: str) -> Signs:
        if pitcher not in self._signs:
            known = self._game().people.get(pitcher)
            own = known.signs if known else {}
            thrown = self._arsenal(pitcher)
            signs = own or default_signs(thrown)
            shown = [digit for digit in signs if own or signs[digit] in thrown]
            self._signs[pitcher] = signs, tuple(shown or list(signs)[:_SHOWN])
        return self._signs[pitcher]

    def _arsenal(self, pitcher: str) -> list[str]:
        """Return what a pitcher throws, most thrown first, from bullpens, else his last games."""
        known = pitcher in self.book.everyone()
        pens = self.book.bullpens(pitcher) if known else []
        thrown = Counter(throw.pitch for pen in pens for throw in pen.throws)
        for game in self.book.games()[-_GAMES_BACK:] if not thrown else ():
            log = Session(self.book, game).state.log
            thrown.update(x.pitch.pitch for x in log if x.before.pitcher == pitcher)
        return [pitch for pitch, _ in thrown.most_common()]

    def _chosen_team(self) -> str:
        if not self._team:
            teams = self.teams()
            self._team = teams[0].id if teams else ""
        return self._team

    def _chosen_pitcher(self) -> Person | None:
        pitchers = self.pitchers()
        ids = [choice.id for choice in pitchers]
        if self._pitcher not in ids:
            self._pitcher = ids[0] if ids else ""
        return self.book.person(self._pitcher) if self._pitcher else None

    # scouting, plan, review

    def scouting(self) -> ScoutingView:
        """Return the hitters of the chosen team, the line-up of the open game first."""
        team = self._chosen_team()
        return ScoutingView(team, tuple(map(_hitter_choice, self._hitters(team))))

    def _hitters(self, team: str) -> list[Person]:
        people = [p for p in self.book.people(team) if p.number != "?P"] if team else []
        slots: Iterable[str] = ()
        if self.session is not None and team in (self.session.game.us, self.session.game.them):
            side: Side = "us" if team == self.session.game.us else "them"
            slots = self.session.state.line_ups.get(side, ())
        place = {id_: i for i, id_ in enumerate(slots)}
        return sorted(people, key=lambda p: place.get(p.id, len(place)))

    def findable(self) -> tuple[Findable, ...]:
        """Return everyone and every game of the book, as the palette finds them."""
        return desk_finding.findable(self.book)

    def quick_mark(self, kind: str, team: str, number: str, what: str) -> str:
        """Keep a mark ("mark", or "back" a step) or the "side" of the hitter of a number."""
        if kind == "side":
            return desk_marking.side(self.book, team, number, what)
        return desk_marking.mark(self.book, team, number, what, -1 if kind == "back" else 1)

    def choose_person(self, person_id: str) -> bool:
        """Scout his team from now on; plan and review for him when he pitches for us."""
        one = self.book.person(person_id)
        self._team = one.team
        if one.id in {choice.id for choice in self.pitchers()}:
            self._pitcher = one.id
        return True

    def plan_set_up(self) -> PlanSetUp:
        """Return whom a plan is for."""
        pitcher = self._chosen_pitcher()
        team = self._chosen_team()
        name, id_ = (pitcher.label, pitcher.id) if pitcher else ("", "")
        return PlanSetUp(team, id_, name, tuple(map(_hitter_choice, self._hitters(team))))

    def review_set_up(self) -> ReviewSetUp:
        """Return whom a review is of."""
        pitcher = self._chosen_pitcher()
        return ReviewSetUp(pitcher.id, pitcher.label) if pitcher else ReviewSetUp("", "")

    def review_lists(self) -> ReviewLists:
        """Return whom and which games a review can be of, as far as is told without reading."""
        return review_choices.at_once(self.book, self.pitchers())

    def bullpen(self) -> BullpenView | None:
        """Return the bullpen of the chosen pitcher, None while there is nobody to throw."""
        if not self._pitcher or self._pitcher not in self._pen_signs:
            pitcher = self._chosen_pitcher()
            if pitcher is None:
                return None
            thrown = self._arsenal(pitcher.id)
            his = pitcher.signs or default_signs(thrown)
            shown = [digit for digit in his if pitcher.signs or his[digit] in thrown]
            self._pen_signs[pitcher.id] = his, tuple(shown or list(his)[:_SHOWN])
        signs, shown_signs = self._pen_signs[self._pitcher]
        words = "  ".join(f"{digit} {signs[digit]}" for digit in shown_signs)
        return self.pens.view(self.book.person(self._pitcher), signs, words)

    def hitter(self, person_id: str) -> HitterView:
        """Return a hitter's page."""
        return desk_forms.hitter_view(self.book, person_id)

    def set_mark(self, person_id: str, mark: str, how_often: str) -> None:
        """Give a hitter a mark, or take it off when `how_often` is empty."""
        if not how_often:
            self.book.drop_mark(person_id, mark)
            return
        said = {"person": person_id, "mark": mark, "how_often": how_often}
        self.book.add_mark(Mark.model_validate({**said, "date": dt.date.today()}))

    def make_one(self, keep: str, gone: str) -> Joined:
        """Say that two entries are one player (see `same_person.make_one`)."""
        return self._joined(same_person.make_one(self.book, keep, gone))

    def make_two(self, person_id: str) -> Joined:
        """Take the last merge into a player back (see `same_person.make_two`)."""
        return self._joined(same_person.make_two(self.book, person_id))

    def _joined(self, joined: Joined) -> Joined:
        self._signs.clear()
        self._pen_signs.clear()
        if self.session is not None:
            self.session.refresh()
        return joined

    def save_person(self, person_id: str, team: str, said: Mapping[str, str]) -> str:
        """Keep what a form said of a player (see `desk_forms.save_person`); returns his id."""
        self._signs.pop(person_id, None)
        self._pen_signs.pop(person_id, None)
        return desk_forms.save_person(self.book, person_id, team, said)


def _hitter_choice(person: Person) -> Choice:
    number = f"{person.number:>3} " if person.number and person.name else ""
    side = f" ({person.bats})" if person.bats else ""
    return Choice(person.id, f"{number}{person.label}{side}")
