"""A small box of one game: what each pitcher gave and each hitter did, charged by the rules."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import groupby

from sequencer.baseball.count import Count
from sequencer.baseball.pitches import SWINGS
from sequencer.baseball.rules import Charged, Stint, charged_to
from sequencer.records.state import Happened, Logged, State

_HITS = frozenset({"single", "double", "triple", "home run"})
_WALKS = frozenset({"walk", "intentional walk"})
_NO_AT_BAT = frozenset(
    {*_WALKS, "hit by pitch", "catcher's interference", "sacrifice bunt", "sacrifice fly"}
)
_STRIKES = SWINGS | {"called strike", "automatic strike"}


@dataclass(slots=True)
class PitchingLine:
    """What one pitcher gave; `pitches` is the official count, `batters` those charged to him."""

    pitcher: str
    pitches: int = 0
    strikes: int = 0
    balls: int = 0
    batters: int = 0
    outs: int = 0
    hits: int = 0
    walks: int = 0
    strikeouts: int = 0
    hit_batters: int = 0
    runs: int = 0


@dataclass(slots=True)
class HittingLine:
    """What one hitter did; `turns` are plate appearances."""

    hitter: str
    turns: int = 0
    at_bats: int = 0
    hits: int = 0
    walks: int = 0
    strikeouts: int = 0
    hit_by_pitch: int = 0
    runs: int = 0


@dataclass(slots=True)
class Box:
    """Every pitcher and hitter of a game, in the order they appeared."""

    pitchers: dict[str, PitchingLine] = field(default_factory=dict)
    hitters: dict[str, HittingLine] = field(default_factory=dict)

    def pitching(self, person: str) -> PitchingLine:
        """Return a pitcher's line, empty at first."""
        return self.pitchers.setdefault(person, PitchingLine(person))

    def hitting(self, person: str) -> HittingLine:
        """Return a hitter's line, empty at first."""
        return self.hitters.setdefault(person, HittingLine(person))


def box(state: State) -> Box:
    """Return the box of a game so far.

    A run belongs to the pitcher who let the runner on base; a runner whose way there was not
    logged belongs to whoever pitches when he scores. Official Baseball Rules 9.16(g), without its
    exceptions for runners who change places on a fielder's choice.
    """
    found = Box()
    let_on: dict[str, str] = {}
    turns: list[Logged] = []
    for item in _in_order(state):
        if turns and turns[-1].before.at_bat != item.before.at_bat:
            turns = []
        if isinstance(item, Logged):
            turns.append(item)
            _count_pitch(found, item)
            end, play = item.after.end, item.after.play
            outs, scored = item.after.outs - item.before.outs, item.after.scored
        else:
            end = play = item.event.event if item.event.event == "intentional walk" else ""
            outs, scored = item.outs - item.before.outs, item.scored
            if item.event.event == "substitution" and item.event.for_whom in let_on:
                let_on[item.who] = let_on[item.event.for_whom]
        if outs > 0:
            found.pitching(item.before.pitcher).outs += outs
        if end:
            charged = _charged(state, end, turns, item)
            let_on[item.before.hitter] = charged.pitcher
            _count_end(found, charged, play)
        for runner in scored:
            found.pitching(let_on.get(runner, item.before.pitcher)).runs += 1
            if runner != "1":
                found.hitting(runner).runs += 1
    for pitcher, thrown in state.pitch_counts.items():
        found.pitching(pitcher).pitches = thrown
    return found


def _in_order(state: State) -> Iterator[Logged | Happened]:
    """Yield pitches and events as they came."""
    events = {n: list(group) for n, group in groupby(state.happened, key=lambda h: h.after_n)}
    yield from events.get(0, ())
    for logged in state.log:
        yield logged
        yield from events.get(logged.n, ())


def _count_pitch(found: Box, logged: Logged) -> None:
    line = found.pitching(logged.before.pitcher)
    line.strikes += logged.pitch.result in _STRIKES
    line.balls += logged.pitch.result in ("ball", "automatic ball", "hit by pitch")


def _charged(state: State, end: str, turns: Sequence[Logged], last: Logged | Happened) -> Charged:
    """Return whose the at-bat is, from who was there pitch by pitch."""
    seen = [turn.before for turn in turns] or [last.before]
    if seen[-1] != last.before:
        seen.append(last.before)
    hitters: list[Stint] = []
    pitchers: list[Stint] = []
    for before in seen:
        count = Count(before.balls, before.strikes)
        if not hitters or hitters[-1].who != before.hitter:
            hitters.append(Stint(before.hitter, count))
        if not pitchers or pitchers[-1].who != before.pitcher:
            pitchers.append(Stint(before.pitcher, count))
    rule = state.rules.inherited_count
    return charged_to(end, hitters, pitchers, inherited_count=rule)


def _count_end(found: Box, charged: Charged, play: str) -> None:
    pitcher, hitter = found.pitching(charged.pitcher), found.hitting(charged.hitter)
    pitcher.batters += 1
    hitter.turns += 1
    hitter.at_bats += play not in _NO_AT_BAT
    for line in (pitcher, hitter):
        line.hits += play in _HITS
        line.walks += play in _WALKS
        line.strikeouts += play == "strikeout"
    pitcher.hit_batters += play == "hit by pitch"
    hitter.hit_by_pitch += play == "hit by pitch"
