"""A big pitch log read by column, without replaying its games.

Every row is checked as the row reader would check it. What it checks against the pitches before
(the count, an at-bat that had ended, two people of one name) is looked for here in whole columns,
rather too often than too seldom; a game that may break a rule is read by the row reader itself,
which says what is wrong with which line, or that nothing is.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np

from sequencer.baseball.count import Count, after
from sequencer.baseball.rules import rule_set
from sequencer.errors import CoachError
from sequencer.records.columns import PITCH_COLUMNS
from sequencer.records.event import Side
from sequencer.records.game import Game
from sequencer.records.people import Person
from sequencer.records.readers.cells import Cells, number_of, text_of
from sequencer.records.readers.coded import Ints, read_coded
from sequencer.records.readers.headers import game_of
from sequencer.records.readers.lines import HEADER, GameLines, Games, gather, in_order, refused
from sequencer.records.readers.mapping import load_mapping
from sequencer.records.readers.pitches import read_game
from sequencer.records.readers.reading import Defaults, Reading
from sequencer.records.readers.roster import Roster, Said
from sequencer.records.readers.rows import Bools, Read, Rows, read_rows
from sequencer.records.readers.streams import hitter_said, pitcher_said, pitching_side, team_of
from sequencer.records.tables import by_day

_GAME: Final = ("game", "game_id")
_PITCHER: Final = ("pitching", "pitcher", "pitcher_id")
_HITTER: Final = ("pitching", "team", "hitter", "hitter_no", "hitter_id")
_BASES: Final = ("on_first", "on_second", "on_third")


@dataclass(frozen=True, slots=True)
class Named:
    """Who the rows name in one column: `kind` of every row, what is said and who is meant by each.

    A person is None where an export names somebody who had no name.
    """

    kind: Ints
    said: Sequence[Said]
    people: Sequence[Person | None]

    def take(self, rows: Ints | Bools) -> "Named":
        """Return only these rows, in this order."""
        return Named(self.kind[rows], self.said, self.people)


@dataclass(frozen=True, slots=True)
class Log:
    """The good rows of a log; `game` says which of `games` each is of.

    `others` are the catchers and the runners.
    """

    rows: Rows
    game: Ints
    games: Sequence[Game]
    pitcher: Named
    hitter: Named
    others: Mapping[str, Read]

    def take(self, rows: Ints | Bools) -> "Log":
        """Return only these rows, in this order."""
        others = {name: Read(one.codes[rows], one.values) for name, one in self.others.items()}
        pitcher, hitter = self.pitcher.take(rows), self.hitter.take(rows)
        return Log(self.rows.take(rows), self.game[rows], self.games, pitcher, hitter, others)


def read_columns(
    reading: Reading,
    path: Path,
    mapping: str | Path | None,
    defaults: Defaults,
    enough: int | None = None,
    each_alone: bool = False,
) -> tuple[Log, bool]:
    """Return a pitch log by column, in playing order; what is refused goes to the reading.

    Also whether all of it was looked at: with `enough`, no more games are replayed once so many
    rows were refused. With `each_alone` no pitch is held against those before it.

    Raises
    ------
    BadInput
        If the whole file cannot be read, as for the row reader.
    """
    told = None if mapping is None else load_mapping(mapping)
    rows = read_rows(read_coded(path, PITCH_COLUMNS, told), reading.bad)
    rows, game, games, doubt, twice = _in_games(reading, rows, defaults)
    log = _named(reading, rows, game, games, doubt)
    if not each_alone:
        doubt |= twice
        _doubt_counts(log, doubt)
    whole = True
    for n in np.flatnonzero(doubt).tolist():
        if enough is not None and len(reading.bad) >= enough:
            whole = False
            break
        lines = _gathered(reading, rows, np.flatnonzero(game == n))
        read_game(reading, games[n], lines, whole=False)
    bad = {row.line for row in reading.bad}
    return _played(log if not bad else log.take(~np.isin(rows.lines, list(bad)))), whole


def _played(log: Log) -> Log:
    """Return a log in playing order."""
    ranked = sorted(range(len(log.games)), key=lambda n: by_day(log.games[n]))
    rank = np.zeros(len(ranked), np.int64)
    rank[ranked] = np.arange(len(ranked))
    keys = log.rows.numbers("pitch_no"), log.rows.numbers("at_bat"), rank[log.game]
    return log.take(np.lexsort(keys))


# games


def _in_games(
    reading: Reading, rows: Rows, defaults: Defaults
) -> tuple[Rows, Ints, list[Game], Bools, Bools]:
    """Return the rows game by game, the game of each, the games, and which are in doubt.

    A row is asked for every way in which a game is spoken of. Last comes which games hold a pitch
    that is told twice.
    """
    file, (_, game) = rows.path.name, rows.alike(_GAME)
    rows, game = rows.take(np.argsort(game, kind="stable")), np.sort(game)
    doubt = np.zeros(int(game.max(initial=-1)) + 1, np.bool_)
    _, pitch = rows.alike(("at_bat", "pitch_no"), game)
    twice = np.zeros_like(doubt)
    twice[game[np.bincount(pitch)[pitch] > 1]] = True
    lines: Games = {}
    kinds, _ = rows.alike((*_GAME, *HEADER, "half", "pitching", "imported"))
    for row in kinds.tolist():
        try:
            gather(lines, file, int(rows.lines[row]), rows.cells(row))
        except CoachError:
            doubt[game[row]] = True
    found, wanted = list[Game](), np.ones(len(doubt), np.bool_)
    for n, one in enumerate(lines.values()):
        try:
            found.append(game_of(reading, one, defaults))
        except CoachError as error:
            wanted[n] = False
            told = in_order(_gathered(reading, rows, np.flatnonzero(game == n)))
            reading.bad.extend(refused(line, error) for line in told)
    kept = wanted[game]
    numbers = (np.cumsum(wanted) - 1)[game[kept]]
    return rows.take(kept), numbers, found, doubt[wanted], twice[wanted]


def _gathered(reading: Reading, rows: Rows, own: Ints) -> GameLines:
    """Return the lines of one game as the row reader has them."""
    games: Games = {}
    for row in own.tolist():
        try:
            gather(games, rows.path.name, int(rows.lines[row]), rows.cells(row))
        except CoachError as error:
            reading.bad.append(rows.refused(row, error))
    return next(iter(games.values()))


# people


@dataclass(frozen=True, slots=True)
class _Spoken:
    """How rows speak of a pitcher or hitter: the first row of each way, every row's way."""

    first: Ints
    kind: Ints
    said: Sequence[Said]


def _named(reading: Reading, rows: Rows, game: Ints, games: list[Game], doubt: Bools) -> Log:
    """Return the log with who everyone is; a game with a name that may be two's is in doubt."""
    roster, teams = reading.roster, _teams(games)[game]

    def spoken(names: Sequence[str], told: Callable[[Game, Cells], Said]) -> _Spoken:
        first, kind = rows.alike(names, teams)
        said = [told(games[game[row]], rows.cells(row)) for row in first.tolist()]
        return _Spoken(first, kind, said)

    def found(who: _Spoken) -> Named:
        people = [_person(roster, one) for one in who.said]
        lost = np.array([person is None for person in people], np.bool_)
        named = np.array(["?" not in one.id for one in who.said], np.bool_)
        doubt[game[(lost & named)[who.kind]]] = True
        return Named(who.kind, who.said, people)

    pitcher, hitter = spoken(_PITCHER, pitcher_said), spoken(_HITTER, hitter_said)
    roster.expect(one for one in (*pitcher.said, *hitter.said) if "?" not in one.id)
    _learn(rows, roster, hitter, "bats", roster.saw_batting)
    _learn(rows, roster, pitcher, "throws", roster.saw_throwing)
    others = {
        name: _others(rows, roster, name, game, games, teams, doubt)
        for name in ("catcher", *_BASES)
        if name in rows.columns
    }
    return Log(rows, game, games, found(pitcher), found(hitter), others)


def _teams(games: Sequence[Game]) -> Ints:
    """Return the number of each game's pair of teams."""
    pairs: dict[tuple[str, str], int] = {}
    numbers = [pairs.setdefault((one.us, one.them), len(pairs)) for one in games]
    return np.array(numbers, np.int64)


def _person(roster: Roster, one: Said) -> Person | None:
    try:
        return roster.people.get(one.id) if "?" in one.id else roster.find(one)
    except CoachError:
        return None


def _learn(
    rows: Rows, roster: Roster, who: _Spoken, hand: str, learn: Callable[[str, str], None]
) -> None:
    """Take in the sides and hands that the rows show."""
    first, _ = rows.alike((hand,), who.kind)
    for row in first.tolist():
        shown, person = text_of(rows.cells(row), hand), _person(roster, who.said[who.kind[row]])
        if shown and person is not None:
            learn(person.id, shown)


def _others(
    rows: Rows,
    roster: Roster,
    name: str,
    game: Ints,
    games: Sequence[Game],
    teams: Ints,
    doubt: Bools,
) -> Read:
    """Return the catchers or the runners as the book calls them; 1 is a runner without a name."""
    first, kind = rows.alike(("pitching", name), teams)
    labels: list[str] = []
    for n, row in enumerate(first.tolist()):
        cells, one = rows.cells(row), games[game[row]]
        side = pitching_side(cells)
        other: Side = "them" if side == "us" else "us"
        own = (side, other) if name == "catcher" else (other, side)
        try:
            labels.append(_label(roster, [team_of(one, s) for s in own], text_of(cells, name)))
        except CoachError:
            labels.append(text_of(cells, name))
            doubt[game[kind == n]] = True
    return Read(kind, labels)


def _label(roster: Roster, teams: Sequence[str], text: str) -> str:
    if text in ("", "0", "1"):
        return text.replace("0", "")
    return roster.named(teams, text).label


# counts


def _doubt_counts(log: Log, doubt: Bools) -> None:
    """Put games in doubt whose counts may not follow, or whose at-bats outlast their end or half.

    As `streams.Stream` has it: a pitch left out, or one of unknown result, may add one to it.
    """
    rows = log.rows
    at_bat, number = rows.numbers("at_bat"), rows.numbers("pitch_no")
    order = np.lexsort((number, at_bat, log.game))
    now, before = order, np.roll(order, 1)
    goes_on = (log.game[now] == log.game[before]) & (at_bat[now] == at_bat[before])
    goes_on[:1] = False
    led_to, ends, unknown = _after(rows)
    start = np.array([rule_set(one.rules).start_count for one in log.games]).reshape(-1, 2)
    was = np.where(goes_on[:, None], led_to[before], start[log.game[now]])
    more = np.column_stack([rows.numbers("balls"), rows.numbers("strikes")])[now] - was
    slack = number[now] - np.where(goes_on, number[before] - unknown[before], 0.0) - 1
    half = rows.alike(("pitching", "inning", "half"))[1]
    over = goes_on & (ends[before] | (half[now] != half[before]))
    wrong = over | (more.min(axis=1) < 0) | (more.sum(axis=1) > slack)
    doubt[log.game[now][wrong & ~_exported(rows)[now]]] = True


def _after(rows: Rows) -> tuple[Ints, Bools, Bools]:
    """Return the count each pitch led to, (n, 2), and where it may have ended its at-bat or half.

    Last, where its result is unknown.
    """
    first, kind = rows.alike(("balls", "strikes", "result", "bunt", "timing", "moves"))
    led_to, ends, unknown = np.zeros((len(first), 2), np.int64), [], []
    for n, row in enumerate(first.tolist()):
        cells = rows.cells(row)
        count = Count(number_of(cells, "balls") or 0, number_of(cells, "strikes") or 0)
        bunt, result = bool(cells.get("bunt")), text_of(cells, "result")
        step = after(count, result, bunt=bunt, swung=bunt or bool(text_of(cells, "timing")))
        led_to[n] = step.count
        ends.append(bool(step.end or text_of(cells, "moves")))
        unknown.append(result == "unknown")
    return led_to[kind], np.array(ends, np.bool_)[kind], np.array(unknown, np.bool_)[kind]


def _exported(rows: Rows) -> Bools:
    """Return which rows come from an export of ours: see `cells.exported`."""
    if "imported" not in rows.columns:
        return np.zeros(len(rows), np.bool_)
    return rows.columns["imported"].known()
