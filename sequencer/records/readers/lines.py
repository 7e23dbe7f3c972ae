"""The lines of a pitch log and its events: checked one by one, gathered by game."""

from dataclasses import dataclass, field
from typing import Final

from sequencer.baseball import count
from sequencer.baseball.situation import parse_moves
from sequencer.errors import BadInput, CoachError
from sequencer.records.columns import EVENT_COLUMNS, PITCH_COLUMNS
from sequencer.records.readers.cells import (
    CellReader,
    Cells,
    check_place,
    exported,
    needed,
    number_of,
    text_of,
)
from sequencer.records.readers.table import BadRow, Table, checked

Key = tuple[int, int]

#: Comes after every pitch of its at-bat.
LAST: Final = 10_000
#: What every row of one game must say alike, where it says anything.
HEADER: Final = ("date", "game_no", "us", "them", "home", "level", "rules")
#: Events about a player who must be named.
_ABOUT: Final = frozenset({"line-up", "at", "absent", "substitution", "pitcher", "catcher"})


@dataclass(frozen=True, slots=True)
class PitchLine:
    """One pitch of a file; `key` is its at-bat and its number there."""

    file: str
    line: int
    key: Key
    cells: Cells


@dataclass(frozen=True, slots=True)
class EventLine:
    """One event of a file, after the pitch `key` (or the last one before it)."""

    file: str
    line: int
    key: Key
    order: int
    cells: Cells


@dataclass(slots=True)
class GameLines:
    """The lines of one game; `header` is what they say of the game as a whole."""

    name: str
    game_id: str
    line: int
    header: dict[str, object] = field(default_factory=dict)
    pitching: set[str] = field(default_factory=set)
    pitches: dict[Key, PitchLine] = field(default_factory=dict)
    events: list[EventLine] = field(default_factory=list)


Line = PitchLine | EventLine
Games = dict[tuple[str, str], GameLines]


def pitch_lines(table: Table, bad: list[BadRow]) -> Games:
    """Return the pitches of a table by game; what cannot be is added to `bad`.

    Raises
    ------
    BadInput
        If the table lacks a column every pitch log has.
    """
    rows, unread = CellReader(PITCH_COLUMNS).rows(checked(table, PITCH_COLUMNS))
    bad.extend(unread)
    games: Games = {}
    for line, cells in rows:
        try:
            check_pitch(cells)
            gather(games, table.path.name, line, cells)
        except CoachError as error:
            bad.append(BadRow(line, str(error), table.path.name))
    return games


def check_pitch(cells: Cells) -> None:
    """Refuse what no pitch of any game can be.

    Raises
    ------
    CoachError
        In a sentence that says what is wrong.
    """
    needed(cells, ("game", "at_bat", "pitch_no", "balls", "strikes", "pitch", "result"))
    if not (text_of(cells, "pitcher") or text_of(cells, "pitcher_id")):
        needed(cells, ("pitcher",))
    if not any(text_of(cells, name) for name in ("hitter", "hitter_no", "hitter_id")):
        needed(cells, ("hitter",))
    count.legal(number_of(cells, "balls") or 0, number_of(cells, "strikes") or 0)
    check_place(cells)
    parse_moves(text_of(cells, "moves"))
    play = text_of(cells, "play")
    if play and text_of(cells, "result") != "in play" and not exported(cells):
        _check_play(play, text_of(cells, "result"))
    half, home = text_of(cells, "half"), text_of(cells, "home")
    pitching = text_of(cells, "pitching") or "us"
    if half and home and (half == "top") != (pitching == home) and not exported(cells):
        side = "we pitch" if pitching == "us" else "they pitch"
        raise BadInput(f"half is {half} and home is {home}, but {side}; one of them is wrong")


def _check_play(play: str, result: str) -> None:
    """Refuse a play without a ball in play; on strike three the hitter may be out or safe."""
    swinging = {"swinging strike", "called strike", "foul tip"}
    if result not in swinging or play not in {"out", "fielder's choice", "error", "double play"}:
        raise BadInput(f"play is {play} but the result is {result}; a play needs 'in play'")


def gather(games: Games, file: str, line: int, cells: Cells) -> None:
    """Add a checked row to its game.

    Raises
    ------
    BadInput
        If another row is the same pitch, or says otherwise what game it was.
    """
    name, game_id = text_of(cells, "game"), text_of(cells, "game_id")
    game = games.setdefault((name, game_id), GameLines(name, game_id, line))
    key = (number_of(cells, "at_bat") or 0, number_of(cells, "pitch_no") or 0)
    if key in game.pitches:
        raise BadInput(
            f"at-bat {key[0]} pitch {key[1]} of {name} is in line {game.pitches[key].line} already"
        )
    _agree(game, cells)
    game.pitching.add(text_of(cells, "pitching") or "us")
    game.pitches[key] = PitchLine(file, line, key, cells)


def _agree(game: GameLines, cells: Cells) -> None:
    said = {name: cells[name] for name in HEADER if cells.get(name) not in (None, "")}
    for name, value in said.items():
        before = game.header.get(name, value)
        if before != value:
            raise BadInput(
                f"{name} of game {game.name} is {value} here and {before} in line {game.line}; "
                "give every game a name of its own"
            )
    game.header.update(said | _home(game, cells))


def _home(game: GameLines, cells: Cells) -> dict[str, object]:
    """Return who is home, as the half tells where no line says so.

    Raises
    ------
    BadInput
        If the half does not go with what the lines before it tell.
    """
    half = text_of(cells, "half")
    if not half or text_of(cells, "home") or exported(cells):
        return {}
    ours = (text_of(cells, "pitching") or "us") == "us"
    home = "us" if ours == (half == "top") else "them"
    if game.header.get("home", home) != home:
        raise BadInput(
            f"half is {half} with {'us' if ours else 'them'} pitching, which does not go with line "
            f"{game.line}; check half and pitching"
        )
    return {"home": home}


def event_lines(table: Table, games: Games, bad: list[BadRow]) -> None:
    """Add the events of a table to their games.

    Raises
    ------
    BadInput
        If the table lacks a column every events file has.
    """
    rows, unread = CellReader(EVENT_COLUMNS).rows(checked(table, EVENT_COLUMNS))
    bad.extend(unread)
    for place, (line, cells) in enumerate(rows):
        try:
            _check_event(cells)
            after = number_of(cells, "after_pitch")
            key = (number_of(cells, "after_at_bat") or 0, LAST if after is None else after)
            order = number_of(cells, "order")
            game = _game_of(games, line, cells)
            order = place if order is None else order
            game.events.append(EventLine(table.path.name, line, key, order, cells))
        except CoachError as error:
            bad.append(BadRow(line, str(error), table.path.name))


def _check_event(cells: Cells) -> None:
    needed(cells, ("game", "after_at_bat", "event"))
    event = text_of(cells, "event")
    if exported(cells):
        return
    if event in _ABOUT:
        needed(cells, ("who",))
    if event == "substitution":
        needed(cells, ("for",))
    if event == "count" and number_of(cells, "balls") is None:
        count.parse(text_of(cells, "reason"))


def _game_of(games: Games, line: int, cells: Cells) -> GameLines:
    name, game_id = text_of(cells, "game"), text_of(cells, "game_id")
    if (name, game_id) in games:
        return games[name, game_id]
    found = [game for game in games.values() if game.name == name and not game_id]
    if len(found) > 1:
        raise BadInput(f"game {name} may be one of {len(found)} in the file; give its game_id")
    return found[0] if found else games.setdefault((name, game_id), GameLines(name, game_id, line))


def in_order(game: GameLines) -> list[Line]:
    """Return the lines of a game as they happened: each pitch, then what followed it."""
    pitches = [((*line.key, 0, 0), line) for line in game.pitches.values()]
    events = [((*line.key, 1, line.order), line) for line in game.events]
    both: list[tuple[tuple[int, ...], Line]] = [*pitches, *events]
    return [line for _, line in sorted(both, key=lambda pair: (pair[0], pair[1].line))]


def refused(line: Line, error: Exception) -> BadRow:
    """Return the row of a line that cannot be taken, with the reason."""
    return BadRow(line.line, str(error), line.file)
