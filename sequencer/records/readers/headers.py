"""Which game the lines of a file belong to: one of the book, or a new one."""

import datetime as dt
import re
from collections.abc import Sequence
from typing import Any, Final

from sequencer.baseball.levels import LEVELS
from sequencer.baseball.rules import RULES
from sequencer.errors import BadInput
from sequencer.records.columns import known_word
from sequencer.records.game import Game
from sequencer.records.readers.lines import GameLines
from sequencer.records.readers.reading import Defaults, Reading
from sequencer.records.readers.roster import stable_id

_ISO_DATE: Final = re.compile(r"\d{4}-\d{2}-\d{2}")
_TELLING: Final = ("date", "game_no", "us", "them")


def game_of(reading: Reading, lines: GameLines, defaults: Defaults) -> Game:
    """Return the game that lines belong to; a new one is added to the reading.

    Raises
    ------
    BadInput
        If the book holds several that it may be, the level or rule set is unknown, or the lines
        hold the other side's pitching and the book keeps only ours.
    """
    game = _held(reading, lines) or _new(reading, lines, defaults)
    if "them" in lines.pitching and not game.both_halves:
        if reading.book.last_seq(game.id):
            raise BadInput(
                f"the book keeps only our pitching of game {game.game}, and the file has theirs "
                "too; give the file's game another name"
            )
        game = game.model_copy(update={"both_halves": True})
        if game.id not in reading.games:
            reading.both_halves.add(game.id)
        else:
            reading.games[game.id] = game
    return game


def _held(reading: Reading, lines: GameLines) -> Game | None:
    games = {game.id: game for game in (*reading.book_games, *reading.games.values())}
    if lines.game_id:
        return games.get(lines.game_id)
    named = [game for game in games.values() if game.game == lines.name]
    found = [game for game in named if _agrees(game, lines)]
    if len(found) > 1:
        raise BadInput(
            f"the book holds {len(found)} games named {lines.name}; give date or game_no"
        )
    return found[0] if found else None


def _agrees(game: Game, lines: GameLines) -> bool:
    return all(
        getattr(game, name) == lines.header[name] for name in _TELLING if name in lines.header
    )


def _new(reading: Reading, lines: GameLines, defaults: Defaults) -> Game:
    if not lines.pitches:
        raise BadInput(f"there is no game {lines.name} in the book or the pitch log")
    header: dict[str, Any] = {"us": defaults.us, "them": defaults.them} | lines.header
    level = str(header.get("level") or defaults.level)
    rules = str(header.get("rules") or defaults.rules)
    header |= {
        "level": known_word(level, LEVELS, "level"),
        "rules": known_word(rules, RULES, "rule set"),
        "date": header.get("date") or defaults.date or _day(reading, lines.name),
    }
    told: Sequence[object] = [header.get(name) for name in _TELLING]
    game = Game(
        id=lines.game_id or stable_id("game", lines.name, *told),
        game=lines.name,
        both_halves="them" in lines.pitching,
        **header,
    )
    reading.games[game.id] = game
    return game


def _day(reading: Reading, name: str) -> dt.date:
    """Return the day a game's name gives, else today, saying so."""
    for text in _ISO_DATE.findall(name):
        try:
            return dt.date.fromisoformat(text)
        except ValueError:
            continue
    reading.warn(f"game {name} has no date and was kept as of today; give a date column or --date")
    return dt.date.today()
