"""From the lines of a game to the entries of its stream, by running the game as it is read.

A line becomes a pitch, with whatever must have happened before it (who came up, who came in to
pitch) as events, and what it observed where that differs from what the game gives.
"""

from dataclasses import dataclass, field
from typing import Any, Final

from sequencer.errors import BadInput, CoachError, IllegalEntry
from sequencer.records.event import Event, Side
from sequencer.records.game import Entry, Game
from sequencer.records.pitch import Observed, Pitch
from sequencer.records.readers.cells import Cells, exported, number_of, pitch_of, text_of
from sequencer.records.readers.happenings import event_of
from sequencer.records.readers.lines import Line, PitchLine
from sequencer.records.readers.reading import Placed
from sequencer.records.readers.roster import Roster, Said, said
from sequencer.records.replay import start, step
from sequencer.records.state import Half, State

_BASES: Final = ("on_first", "on_second", "on_third")
#: What marks an event that a line of an outside log implies.
_SEEN: Final[dict[str, Any]] = {"imported": True}
_PLAIN: Final = ("outs", "score_us", "score_them", "balls", "strikes", "pitch_no")


@dataclass(slots=True)
class Stream:
    """A game being read: the state so far, and the entries that lead to it.

    `whole` says that the file's events name everyone who came up or came in, so that nothing
    has to be added to them.
    """

    roster: Roster
    game: Game
    state: State
    whole: bool = False
    placed: list[Placed] = field(default_factory=list)
    used: set[str] = field(default_factory=set)

    @classmethod
    def opened(cls, roster: Roster, game: Game, *, whole: bool = False) -> "Stream":
        """Return the stream of a game before its first entry."""
        return cls(roster, game, start(game, roster.people), whole)

    def play(self, seq: int, entry: Entry) -> None:
        """Play an entry the book holds already."""
        self.state = step(self.state, seq, entry)

    def take(self, line: Line, target: int | None = None) -> None:
        """Take a line of the file in, before row `target` or at the end; all of it or nothing.

        Raises
        ------
        CoachError
            In a sentence, if it cannot follow what came before.
        """
        before = self.state, len(self.placed)
        try:
            if isinstance(line, PitchLine):
                self._pitch(line, target)
            else:
                self._event(line.cells, target)
        except CoachError:
            self.state = before[0]
            del self.placed[before[1] :]
            raise

    def _add(self, entry: Entry, target: int | None) -> None:
        self.state = step(self.state, len(self.placed) + 1, entry)
        self.placed.append(Placed(self.game.id, entry, target))
        if isinstance(entry, Event):
            self.used.update((entry.who, entry.for_whom))

    # events

    def _event(self, cells: Cells, target: int | None) -> None:
        event = event_of(self.roster, self.state, cells)
        if not self.whole:
            if event.event == "half ended" and self._half_just_ended():
                return
            if event.event == "intentional walk" and event.who:
                self._bring_up(event.who, "", self.state.at_bat, target)
        self._add(event, target)

    def _half_just_ended(self) -> bool:
        """Say whether the third out has ended the half that a file says ended."""
        state = self.state
        if not state.log or state.pitch_no > 1 or state.outs:
            return False
        last = state.log[-1].before
        now = (state.inning, state.half)
        fresh = (last.inning, last.half) != now
        return fresh and not any(
            (h.before.inning, h.before.half) == now for h in state.happened if h.outs or h.scored
        )

    # pitches

    def _pitch(self, line: PitchLine, target: int | None) -> None:
        cells = line.cells
        if not exported(cells):
            self._check_open(line.key[0])
        if not self.whole:
            self._bring_all(cells, target)
        observed = self._observed(cells)
        pitch = pitch_of(cells, self._side(cells))
        if cells.get("imported") is not False or observed != Observed():
            self._add(pitch.model_copy(update={"observed": observed}), target)
        else:
            self._add_own(pitch, target)
        for id_ in (*observed_people(observed), self.state.log[-1].before.hitter):
            self.used.add(id_)

    def _side(self, cells: Cells) -> str:
        """Return the side the places of a line are meant from.

        An export leaves a side empty that was only assumed: left for a switch hitter against a
        hand nobody knows, else right.
        """
        bats = text_of(cells, "bats")
        if bats or not exported(cells):
            return bats or (self.state.up.bats if self.state.up else "")
        hitter = self.roster.people.get(text_of(cells, "hitter_id"))
        return "L" if hitter and hitter.bats == "S" else "R"

    def _add_own(self, pitch: Pitch, target: int | None) -> None:
        """Add a pitch logged here; one that does not fit what its file says is an outside one."""
        try:
            self._add(pitch, target)
        except IllegalEntry:
            self._add(pitch.model_copy(update={"observed": Observed()}), target)

    def _check_open(self, at_bat: int) -> None:
        if not self.state.log:
            return
        last = self.state.log[-1]
        if last.before.at_bat == at_bat and last.after.end:
            raise BadInput(
                f"at-bat {at_bat} ended on the pitch before it ({last.after.end}); the next "
                "hitter's at-bat needs the next number"
            )

    def _bring_all(self, cells: Cells, target: int | None) -> None:
        """Bring in the pitcher, the catcher and the hitter a line names, where they are new."""
        side = pitching_side(cells)
        pitcher = self._named(pitcher_said(self.game, cells))
        if pitcher and self.state.pitchers.get(side) != pitcher:
            self._change("pitcher", pitcher, side, target)
        catcher = text_of(cells, "catcher")
        if catcher:
            caught = self.roster.named(self._teams(side), catcher).id
            if self.state.catchers.get(side) != caught:
                self._change("catcher", caught, side, target)
        hitter = self._named(hitter_said(self.game, cells))
        if hitter:
            at_bat = number_of(cells, "at_bat") or self.state.at_bat
            self._bring_up(hitter, text_of(cells, "bats"), at_bat, target)
        throws = text_of(cells, "throws")
        if throws and throws != self.state.throws:
            self._add(Event.model_validate({"event": "throws", "throws": throws, **_SEEN}), target)

    def _named(self, one: Said) -> str:
        """Return the key of who a line names, "" for one whom nobody has named."""
        if one.id.startswith(f"{self.game.id}?"):
            return ""
        return self.roster.find(one).id

    def _change(self, what: str, who: str, side: Side, target: int | None) -> None:
        self._add(Event(event=what, who=who, side=side, imported=True), target)

    def _bring_up(self, hitter: str, bats: str, at_bat: int, target: int | None) -> None:
        up = self.state.up
        same = up is not None and up.person == hitter and self.state.at_bat == at_bat
        if same and up is not None and (not bats or (up.bats == bats and not up.assumed)):
            return
        at = {"event": "at", "who": hitter, "bats": bats, "at_bat": at_bat, "imported": True}
        self._add(Event.model_validate(at), target)

    # what a line observed

    def _observed(self, cells: Cells) -> Observed:
        """Return what a line says of the moment that the game so far does not give."""
        fields: dict[str, Any] = self._half_observed(cells)
        turned = bool(fields)
        if not (turned or exported(cells)):
            self._check_count(cells)
        for name in _PLAIN:
            value = number_of(cells, name)
            if value is not None and (turned or value != self._derived(name)):
                fields[name] = value
        for place, name in enumerate(_BASES):
            if name in cells:
                runner = self._runner(text_of(cells, name), place)
                if turned or runner != self.state.bases[place]:
                    fields[name] = runner
        return Observed(**fields)

    def _derived(self, name: str) -> int:
        count = self.state.count
        by_count = {"balls": count.balls, "strikes": count.strikes}
        value: int = by_count[name] if name in by_count else getattr(self.state, name)
        return value

    def _half_observed(self, cells: Cells) -> dict[str, Any]:
        """Return the half a line is in, where the game so far is in another."""
        state = self.state
        half = text_of(cells, "half") or self._half(pitching_side(cells))
        inning = number_of(cells, "inning")
        if inning is None:
            later = state.half == "bottom" and half == "top" and bool(state.log)
            inning = state.inning + later
        same = (inning, half) == (state.inning, state.half)
        return {} if same else {"inning": inning, "half": half}

    def _half(self, pitching: Side) -> Half:
        """Return the half a side pitches in."""
        return "top" if pitching == self.game.home else "bottom"

    def _runner(self, text: str, place: int) -> str:
        """Return who a base holds: the one the game has there where the text may mean him."""
        on_base = self.state.bases[place]
        if text in ("", "0"):
            return ""
        if text == "1":
            return "1" if self.whole or not on_base else on_base
        if on_base and text in (on_base, self.state.label(on_base)):
            return on_base
        return self.roster.named(self._teams(self.state.hitting), text).id

    def _teams(self, side: Side) -> tuple[str, str]:
        """Return the teams a person of a side may be of, his own first."""
        return team_of(self.game, side), team_of(self.game, "them" if side == "us" else "us")

    def _check_count(self, cells: Cells) -> None:
        """Refuse a count that the results before it cannot have led to.

        A pitch the file leaves out, or one whose result is unknown, may have added one to it.
        """
        state, number = self.state, number_of(cells, "pitch_no") or 1
        was, now = state.count, (number_of(cells, "balls") or 0, number_of(cells, "strikes") or 0)
        slack = max(number - state.pitch_no, 0) + self._unknown_before()
        balls, strikes = now[0] - was.balls, now[1] - was.strikes
        if min(balls, strikes) < 0 or balls + strikes > slack:
            raise BadInput(
                f"count {now[0]}-{now[1]} does not follow: {self._so_far()} the count is {was}"
            )

    def _unknown_before(self) -> int:
        if not self.state.log or self.state.pitch_no == 1:
            return 0
        return int(self.state.log[-1].pitch.result == "unknown")

    def _so_far(self) -> str:
        if not self.state.log or self.state.pitch_no == 1:
            return "at the start of an at-bat"
        last = self.state.log[-1]
        return f"after a {last.pitch.result} on {last.before.balls}-{last.before.strikes}"


def pitching_side(cells: Cells) -> Side:
    """Return who pitches on a line; us when it does not say."""
    return "them" if cells.get("pitching") == "them" else "us"


def team_of(game: Game, side: Side) -> str:
    """Return the name of a side's team."""
    return game.us if side == "us" else game.them


def pitcher_said(game: Game, cells: Cells) -> Said:
    """Return what a line says of its pitcher."""
    team = team_of(game, pitching_side(cells))
    return said(team, text_of(cells, "pitcher"), "", text_of(cells, "pitcher_id"))


def hitter_said(game: Game, cells: Cells) -> Said:
    """Return what a line says of its hitter; `team` counts unless it names the pitcher's."""
    pitching = pitching_side(cells)
    hitting = team_of(game, "them" if pitching == "us" else "us")
    team = text_of(cells, "team")
    return said(
        hitting if team in ("", team_of(game, pitching)) else team,
        text_of(cells, "hitter"),
        text_of(cells, "hitter_no"),
        text_of(cells, "hitter_id"),
    )


def observed_people(observed: Observed) -> tuple[str, ...]:
    """Return the runners an observation names."""
    return tuple(filter(None, (observed.on_first, observed.on_second, observed.on_third)))
