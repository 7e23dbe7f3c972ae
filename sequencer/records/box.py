"""A small box of one game: what each pitcher gave and each hitter did, charged by the rules.

It proves: everybody who came up is accounted for (`SideLine`).
"""

from collections.abc import Container, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import groupby

from sequencer.baseball.count import Count
from sequencer.baseball.pitches import SWINGS
from sequencer.baseball.rules import Charged, Stint, charged_to
from sequencer.records.event import RUNNER_EVENTS, Side
from sequencer.records.state import Happened, Logged, Moment, State, other, unnamed_pitcher

_HITS = frozenset({"single", "double", "triple", "home run"})
_WALKS = frozenset({"walk", "intentional walk"})
_SACRIFICES = frozenset({"sacrifice bunt", "sacrifice fly"})
_AWARDS = frozenset({"catcher's interference"})
_NO_AT_BAT = frozenset({*_WALKS, *_SACRIFICES, *_AWARDS, "hit by pitch"})
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
    sacrifices: int = 0
    awards: int = 0
    runs: int = 0


@dataclass(slots=True)
class SideLine:
    """What a side at bat did, and where everybody who came up for it went.

    A box is proved when a side's at-bats, walks, hit batters, sacrifices and awards of first base
    for interference equal its runs, its runners left on base and the putouts of the other side
    (Official Baseball Rules 9.03(c)). The rule knows neither runners that a league's rules place
    nor outs they call on the absent: those who were placed or called out count as having come.
    `on_base` are on base now, of a half still going on; `putouts` hold the automatic outs.
    """

    at_bats: int = 0
    walks: int = 0
    hit_by_pitch: int = 0
    sacrifices: int = 0
    awards: int = 0
    placed: int = 0
    automatic_outs: int = 0
    runs: int = 0
    left_on_base: int = 0
    on_base: int = 0
    putouts: int = 0

    @property
    def came(self) -> int:
        """How many came up or were put on base."""
        at_the_plate = self.at_bats + self.walks + self.hit_by_pitch + self.sacrifices + self.awards
        return at_the_plate + self.placed + self.automatic_outs

    @property
    def went(self) -> int:
        """How many scored, were left or are on base, or were put out."""
        return self.runs + self.left_on_base + self.on_base + self.putouts

    @property
    def proves(self) -> bool:
        """Whether everybody is accounted for; an outside log with gaps may leave some over."""
        return self.came == self.went


@dataclass(slots=True)
class Box:
    """Every pitcher and hitter of a game, in the order they appeared, and the sides at bat."""

    pitchers: dict[str, PitchingLine] = field(default_factory=dict)
    hitters: dict[str, HittingLine] = field(default_factory=dict)
    sides: dict[Side, SideLine] = field(default_factory=dict)

    def pitching(self, person: str) -> PitchingLine:
        """Return a pitcher's line, empty at first."""
        return self.pitchers.setdefault(person, PitchingLine(person))

    def hitting(self, person: str) -> HittingLine:
        """Return a hitter's line, empty at first."""
        return self.hitters.setdefault(person, HittingLine(person))

    def side(self, side: Side) -> SideLine:
        """Return the line of a side at bat, empty at first."""
        return self.sides.setdefault(side, SideLine())


def box(state: State) -> Box:
    """Return the box of a game so far.

    A run belongs to the pitcher who let the runner on base, one of a placed runner to whoever
    began the half; a runner whose way there was not logged belongs to whoever pitches when he
    scores. Official Baseball Rules 9.16(g), without its exceptions for runners who change places
    on a fielder's choice. Whoever pitched when an absent hitter was called out has that out.
    """
    found = Box()
    let_on: dict[str, str] = {}
    turns: list[Logged] = []
    half: tuple[int, str] = (0, "")
    began, last = "", None
    seen = {(state.inning, state.half)}
    for item in _in_order(state):
        now = (item.before.inning, item.before.half)
        if now != half:
            _leave(found, last)
            seen.add(now)
            half, began, let_on = now, "", dict.fromkeys(_placed(state, now), "")
        began = began or (_pitcher(state, item.before) if _acts(item) else "")
        last = item
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
            out = state.meant(item.event.for_whom)
            if item.event.event == "substitution" and out in let_on:
                let_on[item.who] = let_on[out]
        side = found.side(other(item.before.pitching))
        if outs > 0:
            found.pitching(_pitcher(state, item.before)).outs += outs
            side.putouts += outs
        if end:
            charged = _charged(state, end, turns, item)
            let_on[item.before.hitter] = charged.pitcher
            _count_end(found, side, charged, play)
        side.runs += len(scored)
        for runner in scored:
            now_pitching = _pitcher(state, item.before)
            found.pitching(let_on.get(runner, now_pitching) or began).runs += 1
            if runner != "1":
                found.hitting(runner).runs += 1
    if half != (state.inning, state.half):
        _leave(found, last)
    found.side(state.hitting).on_base += sum(map(bool, state.bases))
    _count_by_rule(found, state, seen)
    for pitcher, thrown in state.pitch_counts.items():
        found.pitching(pitcher).pitches = thrown
    return found


def _acts(item: Logged | Happened) -> bool:
    """Whether somebody had to pitch for it."""
    return isinstance(item, Logged) or item.event.event in (*RUNNER_EVENTS, "intentional walk")


def _pitcher(state: State, before: Moment) -> str:
    return before.pitcher or state.meant(unnamed_pitcher(state.game.id, before.pitching))


def _placed(state: State, half: tuple[int, str]) -> list[str]:
    rules = [done for done in state.by_rule if done.what == "placed runner"]
    return [done.who for done in rules if (done.inning, done.half) == half]


def _in_order(state: State) -> Iterator[Logged | Happened]:
    """Yield pitches and events as they came."""
    events = {n: list(group) for n, group in groupby(state.happened, key=lambda h: h.after_n)}
    yield from events.get(0, ())
    for logged in state.log:
        yield logged
        yield from events.get(logged.n, ())


def _leave(found: Box, last: Logged | Happened | None) -> None:
    """Count who was on base when a half ended, by its last entry."""
    if last is not None:
        bases = last.after.bases if isinstance(last, Logged) else last.bases
        left = last.after.left if isinstance(last, Logged) else last.left
        side = found.side(other(last.before.pitching))
        side.left_on_base += len(left) + sum(map(bool, bases))


def _count_by_rule(found: Box, state: State, seen: Container[tuple[int, str]]) -> None:
    """Count what the rules did; in a half where nothing else was, who was placed is left."""
    for done in state.by_rule:
        side = found.side(done.hitting)
        if done.what == "placed runner":
            side.placed += 1
            side.left_on_base += (done.inning, done.half) not in seen
        else:
            side.automatic_outs += 1
            side.putouts += 1
            unnamed = unnamed_pitcher(state.game.id, other(done.hitting))
            found.pitching(done.pitcher or state.meant(unnamed)).outs += 1


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


def _count_end(found: Box, side: SideLine, charged: Charged, play: str) -> None:
    pitcher, hitter = found.pitching(charged.pitcher), found.hitting(charged.hitter)
    pitcher.batters += 1
    hitter.turns += 1
    for did in (hitter, side):
        did.at_bats += play not in _NO_AT_BAT
        did.walks += play in _WALKS
        did.hit_by_pitch += play == "hit by pitch"
        did.sacrifices += play in _SACRIFICES
        did.awards += play in _AWARDS
    for line in (pitcher, hitter):
        line.hits += play in _HITS
        line.strikeouts += play == "strikeout"
    pitcher.walks += play in _WALKS
    pitcher.hit_batters += play == "hit by pitch"
