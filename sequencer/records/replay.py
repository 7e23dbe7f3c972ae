"""From a game's rows to the game: effective entries, and the reducer that plays them one by one."""

from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Final

from sequencer.baseball.count import Step, after
from sequencer.baseball.rules import edited, rule_set
from sequencer.baseball.situation import (
    EMPTY,
    Bases,
    Move,
    Played,
    check_play,
    parse_moves,
    play_out,
    usual_moves,
)
from sequencer.errors import CoachError, IllegalEntry
from sequencer.records.effective import Placed, effective
from sequencer.records.event import Side
from sequencer.records.game import Entry, Game, Row
from sequencer.records.halves import (
    finish_at_bat,
    fresh_at_bat,
    moved,
    opened,
    ready,
    settle,
    up_now,
)
from sequencer.records.happenings import happen
from sequencer.records.people import Person
from sequencer.records.pitch import Observed, Pitch
from sequencer.records.state import After, Half, Logged, Moment, State, having, moment

__all__ = ["After", "Logged", "Moment", "State", "effective", "replay", "start", "step"]


def start(game: Game, people: Mapping[str, Person] | Iterable[Person] = ()) -> State:
    """Return the game before its first entry.

    Parameters
    ----------
    people : mapping of id to Person, or people
        Who the ids of the entries mean; a merged id maps to the person kept.
    """
    known = people if isinstance(people, Mapping) else {person.id: person for person in people}
    rules = edited(rule_set(game.rules), game.rule_edits)
    half: Half = "top" if game.home == "us" or game.both_halves else "bottom"
    pitching: Side = "them" if game.both_halves and game.home == "them" else "us"
    state = State(
        game=game,
        rules=rules,
        people=known,
        inning=1,
        half=half,
        pitching=pitching,
        outs=0,
        bases=EMPTY,
        count=rules.start_count,
        score_us=0,
        score_them=0,
        orders={},
        pitchers={},
        catchers={},
        sides={},
        up=None,
        at_bat=1,
        pitch_no=1,
        half_runs=0,
        pitch_counts={},
        log=(),
        happened=(),
        problems=(),
    )
    return opened(state)


def step(state: State, seq: int, entry: Entry) -> State:
    """Return the state after one more entry; `state` itself stays as it is.

    Raises
    ------
    IllegalEntry
        If the entry cannot have happened now, in a sentence that says why.
    """
    if isinstance(entry, Pitch):
        return _pitch(state, seq, entry)
    return happen(state, seq, entry)


def replay(
    game: Game, people: Mapping[str, Person] | Iterable[Person], rows: Iterable[Row]
) -> State:
    """Return the game that all its rows give.

    An entry that no longer fits (the rules of the game were changed after it, say) is kept as one
    of an outside log is, and noted in `problems`: a game in the book can always be read.
    """
    state = start(game, people)
    for seq, entry in effective(rows):
        state = keep(state, seq, entry)
    return state


def keep(state: State, seq: int, entry: Entry) -> State:
    """Return the state after one more entry, fitting or not; it is never refused."""
    try:
        return step(state, seq, entry)
    except IllegalEntry as error:
        try:
            return step(state, seq, _as_imported(entry))
        except IllegalEntry:
            return having(state, problems=(*state.problems, f"Row {seq}: {error}"))


def _as_imported(entry: Entry) -> Entry:
    if isinstance(entry, Pitch):
        return entry.model_copy(update={"observed": entry.observed or Observed()})
    return entry.model_copy(update={"imported": True})


def play(state: State, entries: Iterable[Placed]) -> State:
    """Return the state after many entries.

    Raises
    ------
    IllegalEntry
        If one cannot have happened.
    """
    for seq, entry in entries:
        state = step(state, seq, entry)
    return state


def _pitch(state: State, seq: int, pitch: Pitch) -> State:
    if pitch.observed is not None:
        state = _as_observed(state, pitch.observed)
    state = ready(state)
    before = moment(state)
    result = _count(state, pitch)
    played, play, state = _played(state, pitch, result)
    n = len(state.log) + 1
    after_pitch = After(
        result.count,
        result.end,
        play,
        played.outs,
        played.bases,
        played.runs,
        played.scored,
        played.out,
        played.left,
    )
    logged = Logged(n, seq, pitch, before, after_pitch)
    state = having(
        moved(state, played),
        count=result.count,
        pitch_no=state.pitch_no + 1,
        log=(*state.log, logged),
        pitch_counts=_counted(state, pitch),
    )
    return settle(finish_at_bat(state) if result.end else state)


#: Counts and results are few, pitches many.
_after: Final = lru_cache(maxsize=2048)(after)


def _count(state: State, pitch: Pitch) -> Step:
    try:
        swung = pitch.bunt or bool(pitch.timing)
        return _after(state.count, pitch.result, bunt=pitch.bunt, swung=swung)
    except CoachError as error:
        raise IllegalEntry(str(error)) from error


def _counted(state: State, pitch: Pitch) -> Mapping[str, int]:
    """Official pitch counts: all that was thrown; automatic balls and strikes were not."""
    if pitch.result in ("automatic ball", "automatic strike"):
        return state.pitch_counts
    thrown = state.pitch_counts.get(state.pitcher, 0) + 1
    return {**state.pitch_counts, state.pitcher: thrown}


def _played(state: State, pitch: Pitch, result: Step) -> tuple[Played, str, State]:
    """Carry the play out; an outside log's play that does not fit is noted, not refused."""
    play = (pitch.play or "out") if result.end == "in play" else result.end
    try:
        return _moves(state, pitch, play), play, state
    except IllegalEntry as error:
        if pitch.observed is None:
            raise
        note = f"Pitch {len(state.log) + 1}: {error}"
        state = having(state, problems=(*state.problems, note))
        outs = min(3, state.outs + (play in ("out", "strikeout", "double play", "triple play")))
        return Played(state.bases, outs, 0, (), (), ()), play, state


def _moves(state: State, pitch: Pitch, play: str) -> Played:
    if not play and not pitch.moves and 0 <= state.outs <= 2:
        # Most pitches: nobody moves, so there is nothing to carry out.
        return Played(state.bases, state.outs, 0, (), (), ())
    said = parse_moves(pitch.moves)
    hitter = state.up.person if state.up else ""
    if not play:
        return play_out(state.bases, state.outs, said)
    check_play(play, state.bases, state.outs)
    dropped = (
        play == "strikeout"
        and pitch.third_strike == "dropped"
        and state.rules.dropped_third_strike
        and pitch.play not in ("out", "double play", "triple play")
    )
    moves = _usual(play, state.bases, state.outs, said, dropped=dropped)
    return play_out(state.bases, state.outs, moves, hitter)


def _usual(
    play: str, bases: Bases, outs: int, said: tuple[Move, ...], *, dropped: bool
) -> tuple[Move, ...]:
    """Return everybody's moves; where nothing was said they go by which bases are taken alone."""
    if said:
        return usual_moves(play, bases, outs, said, dropped=dropped)
    first, second, third = bases
    taken = ("1" if first else "", "1" if second else "", "1" if third else "")
    return _by_custom(play, taken, outs, dropped=dropped)


@lru_cache(maxsize=2048)
def _by_custom(play: str, taken: Bases, outs: int, *, dropped: bool) -> tuple[Move, ...]:
    return usual_moves(play, taken, outs, dropped=dropped)


def _as_observed(state: State, seen: Observed) -> State:
    """Return the state as an outside log saw it: what it says goes, from here on."""
    state = _observed_half(state, seen)
    first, second, third = state.bases
    count = state.count
    return having(
        state,
        outs=state.outs if seen.outs is None else seen.outs,
        bases=(
            first if seen.on_first is None else state.meant(seen.on_first),
            second if seen.on_second is None else state.meant(seen.on_second),
            third if seen.on_third is None else state.meant(seen.on_third),
        ),
        score_us=state.score_us if seen.score_us is None else seen.score_us,
        score_them=state.score_them if seen.score_them is None else seen.score_them,
        pitch_no=max(state.pitch_no, seen.pitch_no or 0),
        count=count._replace(
            balls=count.balls if seen.balls is None else seen.balls,
            strikes=count.strikes if seen.strikes is None else seen.strikes,
        ),
    )


def _observed_half(state: State, seen: Observed) -> State:
    inning = state.inning if seen.inning is None else seen.inning
    half = state.half if seen.half is None else seen.half
    if (inning, half) == (state.inning, state.half):
        return state
    pitching: Side = state.pitching
    if state.game.both_halves:
        pitching = "us" if (half == "top") == (state.game.home == "us") else "them"
    up = state.up
    state = having(
        fresh_at_bat(state),
        inning=inning,
        half=half,
        pitching=pitching,
        outs=0,
        bases=EMPTY,
        half_runs=0,
    )
    return up_now(state, up.person, up.bats if up.said else "") if up else state
