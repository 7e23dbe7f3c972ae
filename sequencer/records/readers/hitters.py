"""A hitters file: who they are, which side, and what a coach marked about each."""

from typing import Final

from sequencer.baseball.marks import HOW_OFTEN, MARKS
from sequencer.errors import BadInput
from sequencer.records.columns import HITTER_COLUMNS, known_word, plain_word
from sequencer.records.people import Mark
from sequencer.records.readers.cells import CellReader, Cells, needed, text_of
from sequencer.records.readers.reading import Defaults, Reading
from sequencer.records.readers.roster import Said, said
from sequencer.records.readers.table import BadRow, Table, checked

#: What may follow a mark's colon, and the field it fills.
_MANNERS: Final = {
    **dict.fromkeys(HOW_OFTEN, "how_often"),
    **dict.fromkeys(("hard", "average", "soft"), "against"),
    **dict.fromkeys(("swing", "stance"), "seen_in"),
}


def read_hitters(reading: Reading, table: Table, defaults: Defaults) -> None:
    """Add the hitters and marks of a table to a reading."""
    rows, bad = CellReader(HITTER_COLUMNS).rows(checked(table, HITTER_COLUMNS))
    reading.bad.extend(bad)
    sayings = {line: _said(cells, defaults) for line, cells in rows}
    reading.roster.expect(one for one in sayings.values() if one.team)
    for line, cells in rows:
        try:
            reading.count(new=_read_hitter(reading, sayings[line], cells))
        except BadInput as error:
            reading.bad.append(BadRow(line, str(error), table.path.name))


def _said(cells: Cells, defaults: Defaults) -> Said:
    team = text_of(cells, "team") or (defaults.them if defaults.them != Defaults().them else "")
    return said(team, text_of(cells, "hitter"), text_of(cells, "hitter_no"))


def _read_hitter(reading: Reading, one: Said, cells: Cells) -> bool:
    """Take in one row; return whether the book did not know all of it."""
    if not one.team:
        needed(cells, ("team",))
    tokens = cells.get("marks")
    told = [parse_mark(token) for token in tokens] if isinstance(tokens, tuple) else []
    roster = reading.roster
    before = roster.find(one)
    newcomer = before.id in roster.added and before.id not in roster.used
    roster.tell(before.id, bats=text_of(cells, "bats"), note=text_of(cells, "note"))
    roster.use(before.id)
    marks = [Mark(person=before.id, **fields) for fields in told]
    new = [mark for mark in marks if reading.add_mark(mark)]
    return newcomer or bool(new) or roster.people[before.id] != before


def parse_mark(token: str) -> dict[str, str]:
    """Return the fields of a mark from `late on the fastball: always soft`.

    Raises
    ------
    BadInput
        If the mark, or a word after the colon, is unknown; the nearest one is named.
    """
    name, _, manners = token.partition(":")
    fields = {"mark": known_word(name, MARKS, "mark")}
    if not fields["mark"]:
        raise BadInput(f"'{token}' names no mark")
    for word in plain_word(manners.replace(",", " ")).split():
        manner = known_word(word, _MANNERS, "word after a mark's colon")
        fields[_MANNERS[manner]] = manner
    return fields
