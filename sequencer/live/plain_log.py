"""`log --plain` as a conversation: one line in, one answer out, names looked up in the book."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, Final

from sequencer.baseball import zone
from sequencer.errors import CoachError, IllegalEntry
from sequencer.live.plain_rules import in_force, rules_after
from sequencer.live.session import Session
from sequencer.live.who import in_game, person
from sequencer.records.columns import Value
from sequencer.records.event import Event, Side
from sequencer.records.game import Entry
from sequencer.records.next_three import next_three
from sequencer.records.people import Person
from sequencer.records.pitch import Pitch
from sequencer.records.plain import Said, parse
from sequencer.records.plain_pitch import check
from sequencer.records.readers.cells import names_catcher, pitch_of
from sequencer.records.said_tonight import two_handed
from sequencer.records.state import State, other

if TYPE_CHECKING:
    from sequencer.live.next_call import NextCall

_BASES: Final = ("first", "second", "third")
#: Columns that must fit together, and so are checked again when one of them is corrected.
_CHECKED: Final = frozenset(
    {"result", "play", "third_strike", "side_in", "height_in", "top_in", "bottom_in"}
)


class PlainLog:
    """Answers lines for one session.

    Parameters
    ----------
    session : Session
    shown : str
        The call that a screen shows; kept as the advice of a pitch said in a line.
    elsewhere : str
        Why `call` is not answered here; empty where it is.
    rules : sequence of (str, str)
        The coach's rules, which `call` keeps: against whom ("" everybody, else his id), the words.
    """

    def __init__(
        self,
        session: Session,
        *,
        shown: str = "",
        elsewhere: str = "",
        rules: Sequence[tuple[str, str]] = (),
    ) -> None:
        self._session = session
        self._elsewhere, self.rules = elsewhere, tuple(rules)
        self._hidden = False
        self._shown = (shown, _situation(session.state)) if shown else None
        self._next_call: NextCall | None = None

    def answer(self, line: str) -> str:
        """Apply one line and return `ok N B-S` or `no REASON`; "" for a blank line or comment."""
        try:
            heard = parse(line)
            if heard is None:
                return ""
            if heard.what == "call":
                return self._call()
            if heard.what == "rules" and not heard.text:
                return f"rules {in_force(self._session.state, self.rules)}"
            if heard.what == "next three":
                return "next " + "; ".join(next_three(self._session.state).splitlines())
            self._apply(heard)
        except CoachError as error:
            return "no " + " ".join(str(error).split())
        answer = f"ok {len(self._session.state.log)} {self._session.state.count}"
        return f"{answer} {described(self._session.state)}" if heard.what == "state" else answer

    def _call(self) -> str:
        """Return the call drawn for the next pitch, why, and what stands beside it.

        That pitch keeps what was shown.
        """
        if self._elsewhere:
            raise IllegalEntry(self._elsewhere)
        from sequencer.live.coaching import read
        from sequencer.live.next_call import NextCall, barred
        from sequencer.planning.trust import AUTO

        state = self._session.state
        if why_not := barred(state):
            raise IllegalEntry(why_not)
        if self._hidden:
            raise IllegalEntry("advice is off: advice on brings it back")
        if self._next_call is None:
            self._next_call = NextCall(self._session.book)
        coaching = read(self.rules)
        advice = self._next_call.advise(state, AUTO, coaching)
        ways = self._next_call.beside(state, AUTO, coaching)
        self._shown = str(advice.draw), _situation(state)
        said = (advice.why, *advice.rules, *(ways.says() if ways else ()))
        return f"call {advice.draw}; {'; '.join(said)}"

    def _apply(self, heard: Said) -> None:
        session = self._session
        if heard.what == "undo":
            session.undo()
        elif heard.what == "redo":
            session.redo()
        elif heard.what == "state":
            session.refresh()
        elif heard.what in ("rule", "rules"):
            self.rules = rules_after(session, self.rules, heard)
        elif heard.what == "advice":
            self._hidden = heard.text == "off"
        elif heard.what == "correct":
            self._correct(heard)
        elif heard.what == "remove":
            session.remove(heard.n, heard.event.event if heard.event else "", heard.nth)
        elif heard.what == "replace" and heard.entry is not None and heard.event is not None:
            now, new = self._entry(heard.entry, heard.n + 1)
            assert isinstance(now, Event)
            session.replace(heard.n, heard.event.event, now, nth=heard.nth, new=new)
        elif heard.what == "insert" and heard.entry is not None:
            entry, new = self._entry(heard.entry, heard.n)
            session.insert(heard.n, entry, new=new)
        else:
            entry, new = self._entry(heard, len(session.state.log) + 1)
            session.add(self._advised(entry), new=new)

    # what was said -> an entry

    def _entry(self, heard: Said, n: int) -> tuple[Entry, list[Person]]:
        """Return the entry of a line, said of the time just before pitch `n`, and new people."""
        if heard.event is None:
            return pitch_of(heard.cells, self._bats(n)), []
        if not heard.who:
            return heard.event, []
        if heard.event.event == "substitution":
            return self._substitution(heard)
        side = self._side(heard.event.event, n)
        one, new = person(self._session, side, heard.who, heard.bats)
        changes: dict[str, Any] = {"who": one.id, "bats": heard.bats}
        if heard.event.event != "at":
            changes["side"] = side
        return heard.event.model_copy(update=changes), new

    def _bats(self, n: int) -> str:
        """Return the side the hitter of pitch `n` hits from; the next pitch's counts as right."""
        state = self._session.state
        if n <= len(state.log):
            return self._session.pitch(n).before.bats
        return state.up.bats if state.up else "R"

    def _side(self, event: str, n: int) -> Side:
        state = self._session.state
        pitching = state.log[n - 1].before.pitching if 1 <= n <= len(state.log) else state.pitching
        return other(pitching) if event in ("at", "absent") else pitching

    def _substitution(self, heard: Said) -> tuple[Event, list[Person]]:
        assert heard.event is not None
        out, side = in_game(self._session, heard.for_whom)
        coming, new = person(self._session, side, heard.who)
        changes = {"who": coming.id, "for_whom": out.id, "side": side}
        return heard.event.model_copy(update=changes), new

    def _advised(self, entry: Entry) -> Entry:
        """Return a pitch with the call that was shown before it, unless the line says otherwise."""
        if not isinstance(entry, Pitch) or entry.advice or self._shown is None:
            return entry
        call, drawn_for = self._shown
        if drawn_for != _situation(self._session.state):
            return entry
        return entry.model_copy(update={"advice": call})

    # corrections

    def _correct(self, heard: Said) -> None:
        logged = self._session.pitch(heard.n)
        new: list[Person] = []
        bats = str(heard.cells.get("bats", logged.before.bats))
        changes = _fields(heard.cells, bats)
        pitching = logged.before.pitching
        for name, side in (
            ("hitter", other(pitching)),
            ("pitcher", pitching),
            ("catcher", pitching),
        ):
            if name in changes:
                one, made = person(self._session, side, str(changes[name]))
                changes[name] = one.id
                new += made
        if changes.get("result", "in play") != "in play" and "play" not in changes:
            changes["play"] = ""
        if _CHECKED & changes.keys():
            check({**logged.pitch.model_dump(), **changes})
        self._session.correct(heard.n, changes, new=new)


def _situation(state: State) -> object:
    """Return what a call was drawn for: another pitch, hitter, pitcher or runner is another."""
    return len(state.log), state.up, state.pitcher, state.count, state.outs, state.bases


def _fields(cells: Mapping[str, Value], bats: str) -> dict[str, Any]:
    """Return corrected columns as fields of a pitch: places in the catcher's frame."""
    fields: dict[str, Any] = dict(cells)
    for place in ("cell", "target"):
        if cells.get(place):
            fields[place] = zone.to_catcher(str(cells[place]), bats)
    if "cell" in cells:
        fields["entered"] = "catcher" if names_catcher(str(cells["cell"])) else "hitter"
    if cells.get("bunt", False) is None:
        fields["bunt"] = False
    return fields


def described(state: State) -> str:
    """Say inning, outs, bases, score, who is up and who pitches, in words."""
    on = [
        f"{state.label(who)} on {base}"
        for who, base in zip(state.bases, _BASES, strict=True)
        if who
    ]
    parts = [
        f"{state.half} of inning {state.inning}",
        "1 out" if state.outs == 1 else f"{state.outs} outs",
        ", ".join(on) or "bases empty",
        f"{state.game.us} {state.score_us}, {state.game.them} {state.score_them}",
        _up(state),
        _pitching(state),
    ]
    if state.over_reason:
        parts.append(f"the game may be over: {state.over_reason}")
    return "; ".join(parts)


def _up(state: State) -> str:
    up = state.up
    if up is None:
        return "nobody known to be up"
    side = f"hitting from {'the left' if up.bats == 'L' else 'the right'}"
    guess = " (side not known)" if up.assumed else ""
    return f"{state.label(up.person)} up, slot {up.slot}, {side}{guess}"


def _pitching(state: State) -> str:
    if not state.pitcher:
        return "pitcher not known"
    thrown = state.pitch_counts.get(state.pitcher, 0)
    hand = {"R": ", throwing right", "L": ", throwing left"}.get(state.throws, "")
    return (
        f"{state.label(state.pitcher)} pitching{hand * two_handed(state)}, "
        f"{thrown} {'pitch' if thrown == 1 else 'pitches'}"
    )
