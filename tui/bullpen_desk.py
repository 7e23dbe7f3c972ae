"""Bullpens at the desk: throws kept as they come, what is asked for next, what arms have thrown."""

import datetime as dt
from collections.abc import Mapping
from typing import Any, Final

from sequencer.baseball.zone import to_catcher
from sequencer.errors import BadInput, NotInBook
from sequencer.live.session import Session
from sequencer.records.base import new_id
from sequencer.records.bullpen import Bullpen, Throw
from sequencer.records.people import Person
from sequencer.records.store import Book
from tui.bullpen_words import (
    CAUTION,
    DAYS_BACK,
    arm_lines,
    day_of,
    step_line,
    throw_line,
    tonight,
    zone_of_set,
)
from tui.set_list import USUAL_SET, Step, at_set, steps_of
from tui.views import BullpenView, Choice

#: Sizes of a set that one key goes through; six is common practice, no source.
_SIZES: Final = (USUAL_SET, 8, 10, 12, 3, 4)
#: Rows and columns of the zone itself, as the catcher sees it.
_IN_ZONE: Final = frozenset(
    f"{row}-{column}" for row in ("up", "belt", "down") for column in ("left", "middle", "right")
)


def strike_at(cell: str) -> bool | None:
    """Return whether a place is a strike; None where nobody saw it."""
    return cell in _IN_ZONE if cell else None


class Pens:
    """The bullpen of one pitcher at a time; every change is in the book before it is shown."""

    def __init__(self, book: Book) -> None:
        self._book = book
        self._pitcher, self._id = "", ""
        self._undone: list[Throw] = []
        self._size, self._bats, self._new_set = USUAL_SET, "R", False
        self._watched: tuple[str, ...] = ()
        #: A bullpen of another day that is only looked at: its throws can be mended, none is added.
        self._looked_at = False
        self._games: tuple[Any, tuple[tuple[dt.date, int], ...]] | None = None

    # what is shown

    def view(self, pitcher: Person, signs: Mapping[str, str], shown: str) -> BullpenView:
        """Return the bullpen of a pitcher: today's, else the next one planned, else a new one.

        Parameters
        ----------
        pitcher : Person
        signs : mapping of digit to pitch type
        shown : str
            The signs worth showing, in words.
        """
        pens = self._book.bullpens(pitcher.id)
        if self._pitcher != pitcher.id:
            self._turn_to(pitcher.id, pens)
        pen = next((one for one in pens if one.id == self._id), None)
        throws = pen.throws if pen else ()
        steps = steps_of(pen.note) if pen else ()
        set_no, throw_no = self._next(throws, steps)
        pitch, target = self._call(throws, steps, signs)
        place, step = at_set(steps, set_no)
        team = {team.name: team for team in self._book.teams()}.get(pitcher.team)
        level, rules = (team.level, team.rules) if team else ("", "")
        bats = self._bats
        return BullpenView(
            pitcher_id=pitcher.id,
            pitcher=pitcher.label,
            pen_id=self._id,
            date=str(pen.date if pen and throws else dt.date.today()),
            throws=tuple(Choice(str(i), throw_line(throw)) for i, throw in enumerate(throws))[::-1],
            zone=zone_of_set(throws, target, bats, level),
            set_no=set_no,
            throw_no=throw_no,
            set_size=self._size_of(steps, set_no),
            pitch=pitch,
            target=target,
            doing=step.here if step else "",
            steps=tuple(step_line(steps, i, place) for i in range(len(steps))),
            signs=signs,
            signs_shown=shown,
            bats=bats,
            counted=(
                tonight(throws),
                *arm_lines(self._outings(pitcher.id), level, rules),
                CAUTION,
            ),
            watched=", ".join(self._watched),
            days=tuple(day_of(one) for one in pens[::-1]),
        )

    def _turn_to(self, pitcher: str, pens: list[Bullpen]) -> None:
        self._pitcher, self._undone, self._new_set = pitcher, [], False
        self._watched, self._looked_at = (), False
        self._id = self._to_go_on(pens)

    @staticmethod
    def _to_go_on(pens: list[Bullpen]) -> str:
        """Return the bullpen that goes on: today's, else the planned one, "" for neither."""
        own = [pen for pen in pens if not pen.game]
        today = [pen for pen in own if pen.throws and pen.date == dt.date.today()]
        planned = [pen for pen in own if not pen.throws]
        return next((pen.id for pen in (*today[::-1], *planned[::-1])), "")

    def _next(self, throws: tuple[Throw, ...], steps: tuple[Step, ...]) -> tuple[int, int]:
        """Return the set and the throw that come next."""
        if not throws:
            return 1, 1
        last = throws[-1]
        if self._new_set or last.throw_no >= self._size_of(steps, last.set_no):
            return last.set_no + 1, 1
        return last.set_no, last.throw_no + 1

    def _size_of(self, steps: tuple[Step, ...], set_no: int) -> int:
        _, step = at_set(steps, set_no)
        return len(step.throws) if step and step.throws else self._size

    def _call(
        self, throws: tuple[Throw, ...], steps: tuple[Step, ...], signs: Mapping[str, str]
    ) -> tuple[str, str]:
        """Return pitch and target (catcher's frame) asked for next: by the list, else as before.

        At the very first it is his first sign, with no target yet.
        """
        set_no, throw_no = self._next(throws, steps)
        _, step = at_set(steps, set_no)
        if step and 0 < throw_no <= len(step.throws):
            pitch, target = step.throws[throw_no - 1]
            return pitch, to_catcher(target, self._bats)
        if throws:
            return throws[-1].called or throws[-1].pitch, throws[-1].target
        return next(iter(signs.values()), "unknown"), ""

    def _outings(self, pitcher: str) -> tuple[tuple[dt.date, int], ...]:
        """Return his game pitches of the last days; looked up anew once something was logged."""
        today = dt.date.today()
        known = (pitcher, today, tuple(self._book.stamps().items()))
        if self._games is None or self._games[0] != known:
            first = today - dt.timedelta(days=DAYS_BACK)
            late = [game for game in self._book.games() if first <= game.date <= today]
            counts = [
                (game.date, Session(self._book, game).state.pitch_counts.get(pitcher, 0))
                for game in late
            ]
            self._games = known, tuple((day, pitches) for day, pitches in counts if pitches)
        return self._games[1]

    # what is done

    def throw(self, said: Mapping[str, Any], asked: tuple[str, str]) -> None:
        """Keep a throw.

        Parameters
        ----------
        said : mapping
            What was typed: `cell`, and where it was not as asked `pitch`, `called`, `target`,
            `strike`; `tells` those seen, which are watched for from then on.
        asked : (str, str)
            The pitch and the target (the catcher's frame) that were asked for.
        """
        with self._book.transaction():
            if self._looked_at:
                self._id = self._to_go_on(self._book.bullpens(self._pitcher))
            pen = self._open_pen()
            steps = steps_of(pen.note)
            set_no, throw_no = self._next(pen.throws, steps)
            _, step = at_set(steps, set_no)
            pitch = said.get("pitch", asked[0])
            cell = said.get("cell", "")
            seen = tuple(said.get("tells", ()))
            watched = tuple(dict.fromkeys((*self._watched, *seen)))
            throw = Throw(
                set_no=set_no,
                throw_no=throw_no,
                pitch=pitch,
                called=said.get("called", pitch if "pitch" in said else asked[0]),
                target=said.get("target", asked[1]),
                cell=cell,
                strike=said.get("strike", strike_at(cell)),
                hitter_side=self._bats if self._bats in ("R", "L") else "",
                drill=step.drill if step else "",
                tells=seen,
                tells_watched=watched,
            )
            self._keep(pen, (*pen.throws, throw))
        self._undone, self._new_set, self._watched = [], False, watched
        self._looked_at = False

    def _open_pen(self) -> Bullpen:
        """Return the bullpen that is open as the book has it, a new one where there is none."""
        today = dt.date.today()
        pen = self._find(self._id) if self._id else None
        if pen is not None and pen.throws:
            return pen
        if pen is None:
            pen = Bullpen(id=new_id(), bullpen="", date=today, pitcher=self._pitcher)
        self._id = pen.id
        return pen.model_copy(update={"date": today, "bullpen": self._name(today)})

    def _name(self, day: dt.date) -> str:
        who = self._book.person(self._pitcher).label
        taken = {pen.bullpen for pen in self._book.bullpens(self._pitcher) if pen.throws}
        names = (f"{day} {who}" + (f" ({n})" if n > 1 else "") for n in range(1, 1000))
        return next(name for name in names if name not in taken)

    def _find(self, pen_id: str) -> Bullpen | None:
        pens = self._book.bullpens(self._pitcher)
        return next((pen for pen in pens if pen.id == pen_id), None)

    def _keep(self, pen: Bullpen, throws: tuple[Throw, ...]) -> None:
        self._book.add_bullpen(pen.model_copy(update={"throws": throws}))

    def _thrown(self) -> Bullpen:
        pen = self._find(self._id) if self._id else None
        if pen is None or not pen.throws:
            raise NotInBook("No throw is charted yet.")
        return pen

    def undo(self) -> None:
        """Take the last throw back.

        Raises
        ------
        NotInBook
            If there is none.
        BadInput
            If the bullpen is of another day.
        """
        if self._looked_at:
            raise BadInput("This bullpen is of another day: only a throw of it can be mended.")
        with self._book.transaction():
            pen = self._thrown()
            self._keep(pen, pen.throws[:-1])
        self._undone.append(pen.throws[-1])
        self._new_set = False

    def redo(self) -> None:
        """Bring a throw back that was taken back.

        Raises
        ------
        BadInput
            If none was.
        """
        if not self._undone:
            raise BadInput("Nothing was taken back.")
        with self._book.transaction():
            pen = self._open_pen()
            self._keep(pen, (*pen.throws, self._undone[-1]))
        self._undone.pop()

    def correct(self, at: int, said: Mapping[str, Any]) -> None:
        """Mend the throw at a place of the bullpen (from nought); a new place says strike or ball.

        Raises
        ------
        NotInBook
            If there is no such throw.
        """
        with self._book.transaction():
            pen = self._thrown()
            if not 0 <= at < len(pen.throws):
                raise NotInBook("That throw is no longer there.")
            old = pen.throws[at]
            new: dict[str, Any] = {key: said[key] for key in _MENDED if key in said}
            if "pitch" in new and old.called == old.pitch:
                new["called"] = said.get("called", new["pitch"])
            if "cell" in new:
                new.setdefault("strike", strike_at(new["cell"]))
            if tell := said.get("tell"):
                others = tuple(each for each in old.tells if each != tell)
                new["tells"] = others if tell in old.tells else (*others, tell)
                new["tells_watched"] = tuple(dict.fromkeys((*old.tells_watched, tell)))
            mended = old.model_copy(update=new)
            self._keep(pen, (*pen.throws[:at], mended, *pen.throws[at + 1 :]))

    def new_set(self) -> None:
        """Begin the next set with the next throw."""
        self._new_set = True

    def next_size(self) -> None:
        """Let sets of no list have the next size."""
        self._size = _SIZES[(_SIZES.index(self._size) + 1) % len(_SIZES)]

    def other_side(self) -> None:
        """Let the hitter who stands in, or is thought of, stand on the other side."""
        self._bats = "L" if self._bats == "R" else "R"

    def watch(self, tell: str) -> None:
        """Watch for a tell from now on; for one that is watched for, no longer."""
        others = tuple(each for each in self._watched if each != tell)
        self._watched = others if tell in self._watched else (*others, tell)

    def open(self, pen_id: str) -> None:
        """Open another bullpen of the pitcher, "" for a new one.

        One of another day is looked at: the next throw goes to the one that goes on.
        """
        self._id, self._undone, self._new_set = pen_id, [], False
        pen = self._find(pen_id) if pen_id else None
        self._looked_at = bool(pen and pen.throws and pen.date != dt.date.today())

    def plan(self, steps: tuple[tuple[str, str], ...]) -> str:
        """Put lines of the set list, each with its pitcher, on his next bullpen; says what came.

        The next is the one planned already; while nothing is planned, one of today is made.
        """
        new = 0
        with self._book.transaction():
            for pitcher, line in steps:
                pens = self._book.bullpens(pitcher)
                planned = [pen for pen in pens if not pen.throws and not pen.game]
                pen = planned[-1] if planned else None
                if pen is None:
                    day = dt.date.today()
                    pen = Bullpen(id=new_id(), bullpen=f"{day} next", date=day, pitcher=pitcher)
                if line in pen.note.splitlines():
                    continue
                note = "\n".join(filter(None, (pen.note, line)))
                self._book.add_bullpen(pen.model_copy(update={"note": note}))
                new += 1
                if pitcher == self._pitcher and self._find_empty():
                    self._id = pen.id
        names = dict.fromkeys(self._book.person(pitcher).label for pitcher, _ in steps)
        said = "is on" if new else "is already on"
        return f"It {said} the set list of {' and '.join(names)}: F7 opens the bullpen."

    def _find_empty(self) -> bool:
        pen = self._find(self._id) if self._id else None
        return pen is None or not pen.throws


_MENDED: Final = ("pitch", "called", "target", "cell", "strike")
