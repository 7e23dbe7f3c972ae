"""A folder that an export made: the whole book, table by table."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

from pydantic import ValidationError

from sequencer.errors import BadInput, CoachError
from sequencer.records.columns import (
    GAME_COLUMNS,
    MARK_COLUMNS,
    PEOPLE_COLUMNS,
    PITCH_COLUMNS,
    TABLES,
    TEAM_COLUMNS,
    Column,
    names,
)
from sequencer.records.game import Game
from sequencer.records.people import Mark, Person, Team
from sequencer.records.readers.bullpens import read_bullpens
from sequencer.records.readers.cells import CellReader, Cells, needed, text_of
from sequencer.records.readers.pitches import read_pitches
from sequencer.records.readers.reading import Defaults, Reading
from sequencer.records.readers.table import FORMATS, BadRow, Table, checked, only, read_table

#: Takes one row into a reading; returns whether it was new.
TakeRow = Callable[[Reading, Cells], bool]


def read_folder(reading: Reading, folder: Path, defaults: Defaults) -> None:
    """Add every table of a folder to a reading.

    Raises
    ------
    BadInput
        If the folder holds no table of ours, or one twice, or marks with a column nobody knows.
    """
    tables = _tables(folder)
    if "marks" in tables:
        only(tables["marks"], MARK_COLUMNS)
    for name, (columns, take) in _PLAIN.items():
        if name in tables:
            _read_rows(reading, tables[name], columns, take)
            reading.roster.complete |= name == "people"
    pitches, events = tables.get("pitches"), tables.get("events")
    if events and not pitches:
        pitches = Table(folder / "pitches.csv", names(PITCH_COLUMNS), [])
    if pitches:
        read_pitches(reading, pitches, defaults, events)
    if "bullpens" in tables:
        read_bullpens(reading, tables["bullpens"], defaults)
    for table in tables.values():
        reading.warnings.extend(f"{table.path.name}: {told}" for told in table.warnings)


def _tables(folder: Path) -> dict[str, Table]:
    found: dict[str, Table] = {}
    for name in TABLES:
        paths = [path for end in FORMATS if (path := folder / f"{name}{end}").is_file()]
        if len(paths) > 1:
            both = " and ".join(path.name for path in paths)
            raise BadInput(f"{folder} holds {both}; keep one of them")
        if paths and paths[0].stat().st_size:
            found[name] = read_table(paths[0])
    if not found:
        raise BadInput(f"{folder} holds no {', '.join(TABLES)}; name a file, or an export's folder")
    return found


def _read_rows(reading: Reading, table: Table, columns: tuple[Column, ...], take: TakeRow) -> None:
    rows, bad = CellReader(columns).rows(checked(table, columns))
    reading.bad.extend(bad)
    for line, cells in rows:
        try:
            needed(cells, (column.name for column in columns if column.required))
            reading.count(new=take(reading, cells))
        except ValidationError as error:
            reason = f"{error.errors()[0]['loc'][0]}: {error.errors()[0]['msg']}"
            reading.bad.append(BadRow(line, reason, table.path.name))
        except CoachError as error:
            reading.bad.append(BadRow(line, str(error), table.path.name))


def _said(cells: Cells, *but: str) -> dict[str, Any]:
    return {n: v for n, v in cells.items() if v not in (None, "", ()) and n not in but}


def _fields(cells: Cells, columns: tuple[Column, ...], *but: str) -> dict[str, Any]:
    known = set(names(columns))
    return {name: value for name, value in _said(cells, *but).items() if name in known}


def _team(reading: Reading, cells: Cells) -> bool:
    fields = _fields(cells, TEAM_COLUMNS, "team")
    return reading.roster.add_team(Team(name=cells["team"], **fields))


def _person(reading: Reading, cells: Cells) -> bool:
    fields = _fields(cells, PEOPLE_COLUMNS, "signs", "merged_into")
    signs = cells.get("signs")
    if isinstance(signs, tuple):
        fields["signs"] = dict(_sign(sign) for sign in signs)
    return reading.roster.add(Person(**fields), merged_into=text_of(cells, "merged_into"))


def _sign(text: str) -> tuple[str, str]:
    sign, equals, pitch = text.partition("=")
    if not equals:
        raise BadInput(f"signs '{text}' is not a sign and its pitch, such as 1=fastball")
    return sign.strip(), pitch.strip()


def _mark(reading: Reading, cells: Cells) -> bool:
    mark = Mark(**_fields(cells, MARK_COLUMNS, "team", "hitter"))
    if mark.person not in reading.roster.people:
        raise BadInput(f"nobody has the id {mark.person}; the people table must name him")
    reading.roster.use(mark.person)
    return reading.add_mark(mark)


def _game(reading: Reading, cells: Cells) -> bool:
    fields = _fields(cells, GAME_COLUMNS, "game_id", "rule_edits")
    edits = _edits(cells)
    game = Game(id=cells["game_id"], rule_edits=edits, **fields)
    for held in reading.book.games():
        if held.id == game.id and held != game:
            raise BadInput(f"game {game.game} is in the book already and differs")
        if held.id == game.id:
            return False
    reading.games[game.id] = game
    reading.told_games.add(game.id)
    return True


def _edits(cells: Cells) -> Any:
    text = cells.get("rule_edits")
    try:
        return json.loads(str(text)) if text else {}
    except ValueError as error:
        raise BadInput("rule_edits is not JSON") from error


#: The tables without a reader of their own, in the order they are needed.
_PLAIN: Final[dict[str, tuple[tuple[Column, ...], TakeRow]]] = {
    "teams": (TEAM_COLUMNS, _team),
    "people": (PEOPLE_COLUMNS, _person),
    "marks": (MARK_COLUMNS, _mark),
    "games": (GAME_COLUMNS, _game),
}
