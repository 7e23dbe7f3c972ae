"""A pitch log, with its events file if there is one, into a reading."""

from collections.abc import Sequence
from typing import NamedTuple

from sequencer.baseball.tells import corrections
from sequencer.errors import CoachError
from sequencer.records.game import Game
from sequencer.records.readers.cells import Cells, needs_side, noted_tells, text_of
from sequencer.records.readers.headers import game_of
from sequencer.records.readers.lines import (
    GameLines,
    Games,
    Line,
    PitchLine,
    event_lines,
    in_order,
    pitch_lines,
    refused,
)
from sequencer.records.readers.merging import held, sort_known, take_new
from sequencer.records.readers.reading import Defaults, Reading
from sequencer.records.readers.roster import Said
from sequencer.records.readers.streams import Stream, hitter_said, pitcher_said
from sequencer.records.readers.table import BadRow, Table


def read_pitches(
    reading: Reading, table: Table, defaults: Defaults, events: Table | None = None
) -> None:
    """Add the pitches and events of a log to a reading.

    Raises
    ------
    BadInput
        If a file lacks a column it must have.
    """
    games = pitch_lines(table, reading.bad)
    if events is not None:
        event_lines(events, games, reading.bad)
    whole = events is not None and "imported" in table.columns and "imported" in events.columns
    for lines, game in _headed(reading, games, defaults):
        read_game(reading, game, lines, whole=whole)
    _warn(reading, games)


def _headed(reading: Reading, games: Games, defaults: Defaults) -> list[tuple[GameLines, Game]]:
    """Return every game of the file with its lines, and meet everyone the pitches name."""
    headed = []
    for lines in games.values():
        try:
            headed.append((lines, game_of(reading, lines, defaults)))
        except CoachError as error:
            reading.bad.extend(refused(line, error) for line in in_order(lines))
    sayings: set[Said] = set()
    for lines, game in headed:
        for line in lines.pitches.values():
            sayings |= {pitcher_said(game, line.cells), hitter_said(game, line.cells)}
    reading.roster.expect(one for one in sayings if "?" not in one.id)
    for lines, game in headed:
        for line in lines.pitches.values():
            _learn(reading, game, line.cells)
    return headed


def _learn(reading: Reading, game: Game, cells: Cells) -> None:
    """Take in the sides and hands that a line shows."""
    roster = reading.roster
    if roster.complete:
        return
    for one, hand, learn in (
        (hitter_said(game, cells), text_of(cells, "bats"), roster.saw_batting),
        (pitcher_said(game, cells), text_of(cells, "throws"), roster.saw_throwing),
    ):
        if hand and "?" not in one.id:
            try:
                learn(roster.find(one).id, hand)
            except CoachError:
                continue  # the line is refused when it is taken, with this reason


class _Read(NamedTuple):
    """One game read: its stream, the lines that were new, known and refused."""

    stream: Stream
    new: list[Line]
    known: int
    bad: list[BadRow]


def read_game(reading: Reading, game: Game, lines: GameLines, *, whole: bool) -> None:
    """Add one game's lines to a reading, refusing those that cannot follow what came before.

    `whole` says that the file's events name everyone who came up or came in.
    """
    ordered = in_order(lines)
    read = _streamed(reading, game, ordered, whole=whole)
    if whole and (read.bad or not _as_said(read)):
        read = _streamed(reading, game, ordered, whole=False)
    reading.bad.extend(read.bad)
    reading.placed.extend(read.stream.placed)
    reading.states.append(read.stream.state)
    reading.roster.use(*read.stream.used)
    reading.added += len(ordered) - read.known - len(read.bad)
    reading.known += read.known
    if not read.stream.placed and game.id not in reading.told_games:
        reading.games.pop(game.id, None)


def _streamed(reading: Reading, game: Game, ordered: Sequence[Line], *, whole: bool) -> _Read:
    stream = Stream.opened(reading.roster, game, whole=whole)
    reading.last_seen[game.id] = reading.book.last_seq(game.id)
    before = held(reading.book, stream)
    if not before.entries:
        return _Read(stream, list(ordered), 0, take_new(stream, before, ordered))
    new, known, bad = sort_known(stream, before, ordered)
    return _Read(stream, new, known, bad + (take_new(stream, before, new) if new else []))


def _as_said(read: _Read) -> bool:
    """Say whether the events alone brought up and in everyone the pitches name."""
    game, roster = read.stream.game, read.stream.roster
    played = {(log.before.at_bat, log.before.pitch_no): log.before for log in read.stream.state.log}
    for line in read.new:
        if not isinstance(line, PitchLine):
            continue
        before = played.get(line.key)
        if before is None:
            return False
        for one, id_ in (
            (pitcher_said(game, line.cells), before.pitcher),
            (hitter_said(game, line.cells), before.hitter),
        ):
            if id_ != (one.id or roster.find(one).id):
                return False
    return True


def _warn(reading: Reading, games: Games) -> None:
    pitches = [line.cells for lines in games.values() for line in lines.pitches.values()]
    unplayed = sum(cells["result"] == "in play" and not text_of(cells, "play") for cells in pitches)
    if unplayed:
        reading.warn(f"{unplayed} in play without a play were kept, as outs for the score")
    sided = sum(
        not text_of(cells, "bats")
        and any(needs_side(text_of(cells, name)) for name in ("cell", "target"))
        for cells in pitches
    )
    if sided and "bats" not in {name for cells in pitches for name in cells if cells[name]}:
        reading.warn(
            f"{sided} pitches say in or away and the file has no bats; hitters whose side the "
            "book does not know were read as right-handed"
        )
    for told in corrections(word for cells in pitches for word in noted_tells(cells)):
        reading.warn(told)
