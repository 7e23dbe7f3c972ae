"""Whole professional games put through replay: `python -m tests.records.open_games [GAMES]`.

Three seasons, pitch by pitch (tests.open_data.FOLDER, never part of the project): count, outs,
bases, inning, score, result and how each plate appearance ended. They do not say where single
runners went: a play is given as a scorer would (its key alone), and where the next pitch finds the
runners elsewhere, with the moves that take them there; what happened between two pitches is given
as runners' events. Replay must then find every count, out, base, score and half by itself.

The information used here was obtained free of charge from and is copyrighted by Retrosheet.
Interested parties may contact Retrosheet at www.retrosheet.org.
"""

import datetime as dt
import sys
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from importlib.util import find_spec
from itertools import pairwise, product
from typing import Any, Final, NamedTuple

import pandas as pd

from sequencer.baseball.runners import FROM, HOME, OUT, PLACES, WORDS, start_word
from sequencer.baseball.situation import usual_moves
from sequencer.errors import IllegalEntry
from sequencer.records.box import box
from sequencer.records.event import Event
from sequencer.records.game import Entry, Game
from sequencer.records.pitch import Pitch
from sequencer.records.replay import start, step
from sequencer.records.state import State
from tests.open_data import FOLDER

FILE = FOLDER / "sequences_open.parquet"
MISSING = (
    "" if FILE.exists() and find_spec("pyarrow") else "no open data or no pyarrow on this machine"
)
_COLUMNS: Final = (
    *("game_id", "at_bat_no", "pitcher_id", "batter_id", "balls", "strikes", "outs"),
    *("on_1b", "on_2b", "on_3b", "inning", "score_diff_fielding", "result", "detail", "event"),
)
_RESULTS: Final = {
    "ball": "ball",
    "called_strike": "called strike",
    "swinging_strike": "swinging strike",
    "foul": "foul",
    "in_play": "in play",
    "hit_by_pitch": "hit by pitch",
    "other": "automatic ball",
}
_PLAYS: Final = {"out in play": "out", "reached on error": "error"}


class Row(NamedTuple):
    """One pitch of the data."""

    game_id: int
    at_bat_no: int
    pitcher_id: int
    batter_id: int
    balls: int
    strikes: int
    outs: int
    on_1b: bool
    on_2b: bool
    on_3b: bool
    inning: int
    score_diff_fielding: int
    result: str
    detail: str
    event: str

    @property
    def on(self) -> tuple[bool, bool, bool]:
        """Which bases are taken."""
        return (self.on_1b, self.on_2b, self.on_3b)

    @property
    def possible(self) -> bool:
        """Whether the count is one, and a walk or strikeout is on a count that allows it."""
        walk = self.event == "walk" and self.balls < 3
        strikeout = self.event == "strikeout" and self.strikes < 2
        return self.balls <= 3 and self.strikes <= 2 and not walk and not strikeout


@dataclass
class Replayed:
    """One game: how it came out, what had to be said, where replay and the data part."""

    state: State
    pitches: int = 0
    counts_said: int = 0
    ways: Counter[tuple[str, str]] = field(default_factory=Counter)
    parts: list[str] = field(default_factory=list)


def games(first: int, number: int) -> Iterator[list[Row]]:
    """Yield whole games of the data whose counts are all possible."""
    table = pd.read_parquet(FILE, columns=list(_COLUMNS))
    wanted = table["game_id"].between(first, first + number - 1)
    table = table[wanted].astype({"detail": object, "event": object}).fillna("")
    for _, rows in table.groupby("game_id", sort=True):
        game = [Row(*values) for values in rows[list(_COLUMNS)].itertuples(index=False)]
        if all(row.possible for row in game):
            yield game


def replayed(rows: Sequence[Row]) -> Replayed:
    """Play one game; the last play of it has nothing to be held against."""
    header = Game(
        id="open",
        game="open",
        date=dt.date(2026, 4, 1),
        us="home",
        them="visitors",
        both_halves=True,
        rules="pro",
        rule_edits={"placed_runner_from_inning": _placed_from(rows)},
    )
    done = Replayed(start(header))
    for row, following in zip(rows, [*rows[1:], None], strict=True):
        _before(done, row)
        _thrown(done, row, following)
        if done.parts:
            break
        done.pitches += 1
    return done


def _placed_from(rows: Sequence[Row]) -> int | None:
    """Return the first inning that begins with a runner on second."""
    for before, row in pairwise(rows):
        if _new_half(before, row) and row.on == (False, True, False) and row.inning >= 8:
            return row.inning
    return None


def _new_half(before: Row, row: Row) -> bool:
    over = row.inning > before.inning or row.outs < before.outs
    # Two on, an out, and nobody out: its third ended the half.
    triple = before.event == "out in play" and sum(before.on) >= 2
    return over or (row.outs == before.outs == 0 and triple)


def fits(state: State, row: Row) -> bool:
    """Whether replay has inning, outs, bases and score as the data has them before a pitch."""
    return _told(state) == (row.inning, row.outs, row.on, row.score_diff_fielding)


def _told(state: State) -> tuple[int, int, tuple[bool, ...], int]:
    lead = state.score_us - state.score_them
    lead = lead if state.pitching == "us" else -lead
    return state.inning, state.outs, tuple(map(bool, state.bases)), lead


def _add(state: State, *entries: Entry) -> State:
    for entry in entries:
        state = step(state, len(state.log) + len(state.happened) + 1, entry)
    return state


def _before(done: Replayed, row: Row) -> None:
    """Say who pitches, who is up and, where the data's count does not follow, the count."""
    pitcher, hitter = f"p{row.pitcher_id}", f"h{row.batter_id}"
    if done.state.pitcher != pitcher:
        side = done.state.pitching
        done.state = _add(done.state, Event(event="pitcher", who=pitcher, side=side))
    if done.state.up is None or done.state.up.person != hitter:
        done.state = _add(done.state, Event(event="at", who=hitter))
    if done.state.count != (row.balls, row.strikes):
        done.counts_said += 1
        said = Event(event="count", balls=row.balls, strikes=row.strikes)
        done.state = _add(done.state, said)


def _thrown(done: Replayed, row: Row, following: Row | None) -> None:
    if row.event == "intentional walk" and row.balls < 3:
        thrown: Entry = Event(event="intentional walk")
    else:
        thrown = _pitch(row)
    for way, entries in _ways(done.state, row, thrown, following):
        try:
            state = _add(done.state, *entries)
        except IllegalEntry:
            continue
        if following is None or fits(state, following):
            done.state = state
            if row.event:
                done.ways[row.event, way] += 1
            return
    done.parts.append(f"game {row.game_id}: nothing leads from {row} to {following}")


def _pitch(row: Row) -> Pitch:
    result = _RESULTS[row.result]
    if row.detail.startswith("foul tip"):
        result = "foul tip"
    if row.event == "catcher interference":
        result = "catcher's interference"
    play = _PLAYS.get(row.event, row.event) if result == "in play" else ""
    intents = {"intentional": "intentional ball", "pitchout": "pitch-out"}
    bunt = row.detail in ("bunt", "foul tip bunt")
    return Pitch(result=result, play=play, bunt=bunt, intent=intents.get(row.detail, ""))


Way = tuple[str, tuple[Entry, ...]]


def _ways(state: State, row: Row, thrown: Entry, following: Row | None) -> Iterator[Way]:
    """Yield what may have been logged, the shortest first: a key, moves said, then events."""
    yield "key alone", (thrown,)
    if following is None:
        return
    if isinstance(thrown, Pitch) and row.event:
        for variant in _variants(thrown):
            if variant is not thrown:
                yield "key alone", (variant,)
            for moves in _moves(state, row, variant, following):
                yield "moves said", (variant.model_copy(update={"moves": moves}),)
    for variant in _variants(thrown) if row.event else (thrown,):
        try:
            after = _add(state, variant)
        except IllegalEntry:
            continue
        if (after.inning, after.half) == (state.inning, state.half):
            for events in _events(after, row, following):
                yield "events between", (variant, *events)


def _variants(thrown: Entry) -> tuple[Any, ...]:
    if not isinstance(thrown, Pitch):
        return (thrown,)
    if thrown.play == "out":
        # The data calls it an out too when the throw beats the hitter and is then dropped.
        plays = ("fielder's choice", "error")
        return (thrown, *(thrown.model_copy(update={"play": play}) for play in plays))
    if thrown.result in ("swinging strike", "called strike", "foul tip"):
        return (thrown, thrown.model_copy(update={"third_strike": "dropped"}))
    return (thrown,)


def _moves(state: State, row: Row, pitch: Pitch, following: Row) -> Iterator[str]:
    """Yield moves of everyone that lead to the next pitch, those nearest to the usual first."""
    play = pitch.play or row.event
    try:
        dropped = pitch.third_strike == "dropped"
        usual = usual_moves(_END.get(play, play), state.bases, state.outs, dropped=dropped)
    except IllegalEntry:
        return
    starts = [0, *(base for base in (1, 2, 3) if state.bases[base - 1])]
    by_custom = {start: start for start in starts}
    by_custom |= {FROM[move.runner_from]: PLACES[move.to] for move in usual}
    for ends in _assigned(starts, state, row, following, key=by_custom):
        yield _written(dict(zip(starts, ends, strict=True)))


_END: Final = {"catcher interference": "catcher's interference"}


def _written(ways: dict[int, int]) -> str:
    return ";".join(f"{start_word(start)}-{WORDS[end]}" for start, end in ways.items())


def _assigned(
    starts: Sequence[int], state: State, row: Row, following: Row, key: dict[int, int]
) -> Iterable[tuple[int, ...]]:
    """Return where everyone can have gone so that outs, runs and bases come out as they did."""
    over = _new_half(row, following)
    outs = 3 - state.outs if over else following.outs - state.outs
    lead = _told(state)[3]
    runs = following.score_diff_fielding + lead if over else lead - following.score_diff_fielding
    found = []
    for ends in product(*([OUT, *range(max(base, 1), HOME + 1)] for base in starts)):
        on = [end for end in ends if 1 <= end <= 3]
        if ends.count(OUT) != outs or ends.count(HOME) != runs or len(set(on)) < len(on):
            continue
        if not over and tuple(base in on for base in (1, 2, 3)) != following.on:
            continue
        found.append(ends)
    different = [[key.get(s) != end for s, end in zip(starts, ends, strict=True)] for ends in found]
    return [ends for _, ends in sorted(zip(different, found, strict=True), key=lambda x: sum(x[0]))]


def _events(state: State, row: Row, following: Row) -> Iterator[tuple[Event, ...]]:
    """Yield runners' events, the lead runner's first, that lead to the next pitch."""
    starts = [base for base in (1, 2, 3) if state.bases[base - 1]]
    for ends in _assigned(starts, state, row, following, key={s: s for s in starts}):
        moved = [(s, end) for s, end in zip(starts, ends, strict=True) if s != end]
        moved.sort(key=lambda way: (way[1] == OUT, -way[0]))
        yield tuple(
            Event.model_validate(
                {
                    "event": "out on bases" if end == OUT else "advance",
                    "base_from": str(start),
                    "base_to": WORDS[end],
                }
            )
            for start, end in moved
        )


def main() -> None:
    """Replay so many games, or all, and print how they came out."""
    number = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    say = sys.stdout.write
    ways: Counter[tuple[str, str]] = Counter()
    played = pitches = counts = proved = 0
    parts: list[str] = []
    for rows in games(0, number):
        done = replayed(rows)
        played += 1
        pitches += done.pitches
        counts += done.counts_said
        proved += all(line.proves for line in box(done.state).sides.values())
        ways += done.ways
        parts += done.parts
    say(f"{played:,} games, {pitches:,} pitches; {counts} counts said; {proved:,} boxes prove\n")
    for event in sorted({event for event, _ in ways}):
        of = {way: ways[event, way] for way in ("key alone", "moves said", "events between")}
        say(f"{event:20} " + "  ".join(f"{way} {n:>7,}" for way, n in of.items()) + "\n")
    say(f"{len(parts)} games part from the data\n" + "\n".join(parts[:20]) + "\n")


if __name__ == "__main__":
    main()
