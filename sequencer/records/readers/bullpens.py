"""A bullpens file: throws in their sets, gathered into bullpens."""

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from sequencer.baseball.tells import corrections
from sequencer.errors import BadInput
from sequencer.records.bullpen import Bullpen, Throw
from sequencer.records.columns import BULLPEN_COLUMNS
from sequencer.records.readers.cells import (
    CellReader,
    Cells,
    check_place,
    needed,
    needs_side,
    noted_tells,
    number_of,
    text_of,
    to_catcher,
)
from sequencer.records.readers.reading import Defaults, Reading
from sequencer.records.readers.roster import Said, said, stable_id
from sequencer.records.readers.table import BadRow, Table, checked

_PLAIN: Final = (
    "pitch",
    "called",
    "side_in",
    "height_in",
    "seen_from",
    "speed_mph",
    "strike",
    "count",
    "hitter_side",
    "drill",
    "tells",
    "tells_watched",
    "note",
)


def read_bullpens(reading: Reading, table: Table, defaults: Defaults) -> None:
    """Add the bullpens of a table to a reading."""
    rows, bad = CellReader(BULLPEN_COLUMNS).rows(checked(table, BULLPEN_COLUMNS))
    reading.bad.extend(bad)
    named = [cells for _, cells in rows if text_of(cells, "pitcher")]
    reading.roster.expect(_pitcher(cells, defaults) for cells in named)
    pens = _Pens(reading, defaults, {pen.id: pen for pen in reading.book.bullpens()})
    for line, cells in rows:
        try:
            pens.read(cells)
        except BadInput as error:
            reading.bad.append(BadRow(line, str(error), table.path.name))
    for told in corrections(word for _, cells in rows for word in noted_tells(cells)):
        reading.warn(told)


def _pitcher(cells: Cells, defaults: Defaults) -> Said:
    team = text_of(cells, "team") or defaults.us
    return said(team, text_of(cells, "pitcher"), "", text_of(cells, "pitcher_id"))


@dataclass(slots=True)
class _Pens:
    """The bullpens of a file so far; `last` is each one's set and throw read last."""

    reading: Reading
    defaults: Defaults
    held: Mapping[str, Bullpen]
    last: dict[str, tuple[int, int]] = field(default_factory=dict)

    def read(self, cells: Cells) -> None:
        """Take in one row: a throw, or an export's bullpen in which nothing was thrown."""
        needed(cells, ("bullpen", "pitcher"))
        check_place(cells)
        pen, new = self._bullpen(cells)
        if not text_of(cells, "pitch") and text_of(cells, "bullpen_id"):
            self._keep(pen, new=new)
            return
        throw = self._throw(pen, cells)
        same = [t for t in pen.throws if (t.set_no, t.throw_no) == (throw.set_no, throw.throw_no)]
        if same and same[0] != throw:
            raise BadInput(
                f"set {throw.set_no} throw {throw.throw_no} of bullpen {pen.bullpen} is there "
                "already and differs"
            )
        if not same:
            pen = pen.model_copy(update={"throws": (*pen.throws, throw)})
        self._keep(pen, new=not same)

    def _keep(self, pen: Bullpen, *, new: bool) -> None:
        self.reading.count(new=new)
        if new:
            self.reading.bullpens[pen.id] = pen
            self.reading.roster.use(pen.pitcher, pen.catcher)

    def _bullpen(self, cells: Cells) -> tuple[Bullpen, bool]:
        """Return the bullpen a row belongs to as it stands, and whether it is new."""
        one = _pitcher(cells, self.defaults)
        roster = self.reading.roster
        pitcher = roster.find(one)
        day = cells.get("date") or self.defaults.date
        if not isinstance(day, dt.date):
            raise BadInput("date is empty; give the day of the bullpen, or --date")
        name = text_of(cells, "bullpen")
        id_ = text_of(cells, "bullpen_id") or _meant(self.held.values(), name, day, pitcher.id)
        known = self.reading.bullpens.get(id_) or self.held.get(id_)
        if known:
            return known, False
        roster.saw_throwing(pitcher.id, text_of(cells, "throws"))
        catcher = text_of(cells, "catcher")
        pen = Bullpen(
            id=id_,
            bullpen=name,
            date=day,
            pitcher=pitcher.id,
            catcher=roster.named((one.team,), catcher).id if catcher else "",
            game=text_of(cells, "game"),
            note=text_of(cells, "bullpen_note"),
        )
        return pen, True

    def _throw(self, pen: Bullpen, cells: Cells) -> Throw:
        needed(cells, ("pitch",))
        side = text_of(cells, "hitter_side")
        words = [text_of(cells, "cell"), text_of(cells, "target")]
        inches = cells.get("side_in"), cells.get("height_in")
        if not any(words) and inches == (None, None) and not text_of(cells, "bullpen_id"):
            raise BadInput("a throw needs its target or its cell")
        if not side and any(map(needs_side, words)):
            self.reading.warn("in and away without hitter_side: read as to a right-handed hitter")
        last_set, last_throw = self.last.get(pen.id, (1, 0))
        set_no = number_of(cells, "set") or last_set
        throw_no = number_of(cells, "throw") or (last_throw if set_no == last_set else 0) + 1
        self.last[pen.id] = (set_no, throw_no)
        fields: dict[str, Any] = {
            name: cells[name] for name in _PLAIN if cells.get(name) not in (None, "")
        }
        return Throw(
            set_no=set_no,
            throw_no=throw_no,
            cell=to_catcher(cells, "cell", side),
            target=to_catcher(cells, "target", side),
            **fields,
        )


def _meant(held: Iterable[Bullpen], name: str, day: dt.date, pitcher: str) -> str:
    """Return the key of a bullpen the book holds already, or a key of its own."""
    for pen in held:
        if (pen.bullpen, pen.date, pen.pitcher) == (name, day, pitcher):
            return pen.id
    return stable_id("bullpen", name, day, pitcher)
