"""Simulated pitch logs with and without planted habits; the truth is known."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any, Final

import numpy as np
import pandas as pd

from sequencer.baseball.count import START, Count, after

Situation = Mapping[str, Any]
#: Changes a pitch's draws: (situation before the pitch, random generator, pitch) -> pitch.
Habit = Callable[[Situation, np.random.Generator, dict[str, str]], dict[str, str]]

MIX: Final = {"fastball": 0.5, "curveball": 0.25, "changeup": 0.25}
ROWS: Final = ("up", "belt", "down")
COLUMNS: Final = ("in", "middle", "away")
_RESULTS: Final = {
    "ball": 0.4,
    "called strike": 0.17,
    "swinging strike": 0.1,
    "foul": 0.16,
    "in play": 0.17,
}
_EVEN: Final = (1 / 3, 1 / 3, 1 / 3)
#: Calls shown in turn, whatever is then thrown; "" where none is.
_ADVICE: Final = (
    *("fastball low-away", "", "curveball low-away", "fastball in", "", "changeup low-in"),
    *("fastball low-away", "changeup low-away", "", "curveball low-in", ""),
)
#: What a habit is told of the moment and a log is not.
_UNLOGGED: Final = ("previous", "twice", "last_result", "last_event", "last_hitter", "game_pitch")


def no_habit(_now: Situation, _rng: np.random.Generator, pitch: dict[str, str]) -> dict[str, str]:
    """Leave the pitch as drawn."""
    return pitch


def plant(
    applies: Callable[[Situation, Mapping[str, str]], bool], column: str, word: str, extra: float
) -> Habit:
    """Raise a word's share by `extra` where a condition applies; others fall in proportion.

    `column` is "pitch", "side" or "height".
    """
    base = MIX[word] if column == "pitch" else 1 / 3

    def habit(now: Situation, rng: np.random.Generator, pitch: dict[str, str]) -> dict[str, str]:
        if applies(now, pitch) and pitch[column] != word and rng.random() < extra / (1 - base):
            return {**pitch, column: word}
        return pitch

    return habit


def log(
    pitches: int = 300,
    *,
    seed: int = 0,
    habit: Habit = no_habit,
    per_game: int = 60,
    pitcher: str = "Ames",
    drift: float = 0.0,
) -> pd.DataFrame:
    """Return a log of one pitcher over several games, `habit` planted in it.

    `drift` is the standard deviation of the log odds of the fastball from game to game.
    """
    rng = np.random.default_rng(seed)
    rows: list[dict[str, Any]] = []
    game = 0
    while len(rows) < pitches:
        game += 1
        size = min(per_game, pitches - len(rows))
        rows.extend(_game(game, size, rng, habit, pitcher, drift))
    return pd.DataFrame(rows)


def _drawn(rng: np.random.Generator, words: Sequence[str], shares: Iterable[float]) -> str:
    left = rng.random()
    for word, share in zip(words, shares, strict=True):
        left -= share
        if left < 0:
            return word
    return words[-1]


def _game(
    game: int, size: int, rng: np.random.Generator, habit: Habit, pitcher: str, drift: float
) -> list[dict[str, Any]]:
    odds = np.array(list(MIX.values())) * np.exp([drift * rng.standard_normal(), 0, 0])
    mix = odds / odds.sum()
    sides = rng.permutation(["R", "R", "R", "R", "R", "L", "L", "L", "R"])
    rows: list[dict[str, Any]] = []
    at_bat, outs, bases, inning = 0, 0, [0, 0, 0], 1
    their_runs, last_hitter = 0, ""
    while len(rows) < size:
        at_bat += 1
        now: dict[str, Any] = {
            "game": f"game {game}",
            "game_no": 1,
            "date": f"2026-04-{game % 28 + 1:02d}",
            "pitching": "us",
            "inning": inning,
            "half": "top",
            "outs": outs,
            "on_first": bases[0],
            "on_second": bases[1],
            "on_third": bases[2],
            "score_us": 1 + (inning - 1) * (game % 3 + 1) // 2,
            "score_them": 1 + their_runs,
            "pitcher": pitcher,
            "throws": "R",
            "catcher": "Boyd" if game % 2 else "Cole",
            "caller": "coach" if rng.random() < 0.5 else "Boyd",
            "hitter": f"hitter {(at_bat - 1) % 9 + 1}",
            "bats": str(sides[(at_bat - 1) % 9]),
            "at_bat": at_bat,
            "last_hitter": last_hitter,
        }
        end = _at_bat(now, rows, size, rng, habit, mix)
        if end == "strikeout" or (end == "in play" and rows[-1]["play"] == "out"):
            outs, last_hitter = outs + 1, "out"
        else:
            their_runs, last_hitter = their_runs + bases[2], "on"
            bases = [1, int(rng.random() < 0.5), int(rng.random() < 0.3)]
        if outs == 3:
            outs, bases, inning, last_hitter = 0, [0, 0, 0], inning + 1, ""
    return rows


def _at_bat(
    now: dict[str, Any],
    rows: list[dict[str, Any]],
    size: int,
    rng: np.random.Generator,
    habit: Habit,
    mix: np.ndarray[tuple[int], np.dtype[np.float64]],
) -> str:
    at = START
    last = {"previous": "", "twice": "", "last_result": "", "last_event": ""}
    for pitch_no in range(1, 30):
        facing = {**now, "balls": at.balls, "strikes": at.strikes, **last}
        facing |= {
            "game_pitch": len(rows) + 1,
            "advice": _ADVICE[(len(rows) + 3 * now["at_bat"]) % 11],
        }
        pitch = {
            "pitch": _drawn(rng, tuple(MIX), mix),
            "side": _drawn(rng, COLUMNS, _EVEN),
            "height": _drawn(rng, ROWS, _EVEN),
        }
        pitch = habit(facing, rng, pitch)
        result = _drawn(rng, tuple(_RESULTS), tuple(_RESULTS.values()))
        play = ("out" if rng.random() < 0.68 else "single") if result == "in play" else ""
        contact = "square" if result == "foul" and len(rows) % 2 else ""
        note = "in the dirt" if result == "ball" and pitch["height"] == "down" else ""
        row = {k: v for k, v in facing.items() if k not in _UNLOGGED}
        cell = f"{pitch['height']}-{pitch['side']}"
        rows.append(
            {**row, "pitch_no": pitch_no, "pitch": pitch["pitch"], "cell": cell}
            | {"result": result, "play": play, "contact": contact, "note": note}
        )
        event = "hard foul" if contact else note
        twice = pitch["pitch"] if pitch["pitch"] == last["previous"] else ""
        last = {"previous": pitch["pitch"], "twice": twice}
        last |= {"last_result": result, "last_event": event}
        step = after(Count(*at), result)
        if step.end or len(rows) >= size:
            return step.end
        at = step.count
    return ""
