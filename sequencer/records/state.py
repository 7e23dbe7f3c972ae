"""A game at one moment, and what replay keeps of every pitch and event on the way there."""

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from typing import TYPE_CHECKING, Any, Final, Literal, NamedTuple

from sequencer.baseball.count import Count
from sequencer.baseball.hands import BOTH
from sequencer.baseball.rules import RuleSet
from sequencer.baseball.situation import Bases
from sequencer.records.event import Event, Side
from sequencer.records.game import Game
from sequencer.records.line_up import Order
from sequencer.records.people import Person
from sequencer.records.pitch import Pitch

__all__ = [
    "After",
    "ByRule",
    "Half",
    "Hand",
    "Happened",
    "Logged",
    "Moment",
    "State",
    "Up",
    "having",
    "moment",
    "other",
    "unnamed",
    "unnamed_hitter",
    "unnamed_pitcher",
]

Half = Literal["top", "bottom"]
Hand = Literal["", "R", "L"]
_NO_ORDER: Final = Order()


def other(side: Side) -> Side:
    """Return the other side."""
    return "them" if side == "us" else "us"


def unnamed_hitter(game_id: str, side: Side, slot: int) -> str:
    """Return the id of the hitter a pitch was thrown to when nobody was known to be up."""
    return f"{game_id}?{side}?{slot}"


def unnamed_pitcher(game_id: str, side: Side) -> str:
    """Return the id of a side's pitcher while nobody said who he is."""
    return f"{game_id}?{side}?P"


def unnamed(state: "State") -> Mapping[str, tuple[Side, str]]:
    """Return the stand-ins of the game for people nobody named: id -> side and number (`?3`)."""
    ids = [id_ for logged in state.log for id_ in (logged.before.hitter, logged.before.pitcher)]
    for order in state.orders.values():
        ids += order.slots
    found: dict[str, tuple[Side, str]] = {}
    for id_ in dict.fromkeys(ids):
        game, _, number = id_.rpartition("?")
        for side in ("us", "them"):
            if game == f"{state.game.id}?{side}":
                found[id_] = ("us" if side == "us" else "them", f"?{number}")
    return found


@dataclass(frozen=True, slots=True)
class Up:
    """The hitter at the plate.

    `said` when his side was named for this at-bat; `assumed` when it is only a guess.
    """

    person: str
    bats: Literal["R", "L"]
    slot: int
    said: bool = False
    assumed: bool = False


class Moment(NamedTuple):
    """Where, when and who, just before a pitch or event. People are ids.

    `throws` is the hand of whoever pitches in this at-bat, "" where it is not known.
    """

    inning: int
    half: Half
    pitching: Side
    outs: int
    on_first: str
    on_second: str
    on_third: str
    score_us: int
    score_them: int
    balls: int
    strikes: int
    pitcher: str
    catcher: str
    hitter: str
    bats: Literal["R", "L"]
    bats_assumed: bool
    slot: int
    at_bat: int
    pitch_no: int
    throws: Hand = ""

    @property
    def bases(self) -> Bases:
        """Who is on first, second and third."""
        return (self.on_first, self.on_second, self.on_third)


@dataclass(frozen=True, slots=True)
class After:
    """What a pitch led to.

    `count` is the next one, or the one the at-bat ended on; `play` the play or the way the at-bat
    ended ("" while it goes on); `scored`, `out` and `left` (on base when the third out was made)
    name people, "1" for one without a name.
    """

    count: Count
    end: str
    play: str
    outs: int
    bases: Bases
    runs: int
    scored: tuple[str, ...] = ()
    out: tuple[str, ...] = ()
    left: tuple[str, ...] = ()


class Logged(NamedTuple):
    """The game's n-th pitch (1..): as logged in row `seq`, with the moment before and after."""

    n: int
    seq: int
    pitch: Pitch
    before: Moment
    after: After


@dataclass(frozen=True, slots=True)
class Happened:
    """An event with the moment before it and the runners it moved.

    `after_n` is the pitch of the game it followed; `who` the person it is about (the runner).
    """

    seq: int
    event: Event
    who: str
    after_n: int
    before: Moment
    outs: int
    bases: Bases
    scored: tuple[str, ...] = ()
    out: tuple[str, ...] = ()
    left: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ByRule:
    """What the rules did without an entry: put a runner on second, or called an absent hitter out.

    `who` is "1" for a placed runner nobody could name; `hitting` the side at bat; `pitcher` who
    pitched then, "" when not known.
    """

    what: Literal["placed runner", "automatic out"]
    who: str
    inning: int
    half: Half
    hitting: Side
    pitcher: str


@dataclass(frozen=True)
class State:
    """A game after some of its entries. All of it is derived; nothing of it is stored.

    `at_bat` and `pitch_no` number the next pitch. `pitch_counts` are official: every pitch
    thrown. `shown` is the hand said of whoever pitches in this at-bat; `one_handed` those who may
    use only one any more. `problems` says where an outside log does not fit what replay derives;
    `by_rule` what the rules did without an entry.
    """

    game: Game
    rules: RuleSet
    people: Mapping[str, Person]
    inning: int
    half: Half
    pitching: Side
    outs: int
    bases: Bases
    count: Count
    score_us: int
    score_them: int
    orders: Mapping[Side, Order]
    pitchers: Mapping[Side, str]
    catchers: Mapping[Side, str]
    sides: Mapping[str, Literal["R", "L"]]
    up: Up | None
    at_bat: int
    pitch_no: int
    half_runs: int
    pitch_counts: Mapping[str, int]
    log: tuple[Logged, ...]
    happened: tuple[Happened, ...]
    problems: tuple[str, ...]
    by_rule: tuple[ByRule, ...] = ()
    shown: Hand = ""
    one_handed: Mapping[str, Hand] = field(default_factory=dict)

    @property
    def throws(self) -> Hand:
        """The hand that whoever pitches throws with in this at-bat, "" when not known.

        Who throws with both takes the side of the hitter (common practice, no source), unless
        that one waits for the hand in turn.
        """
        sure = self.hand
        if sure or self.up is None or self.up.assumed:
            return sure
        pitcher, hitter = self.people.get(self.pitcher), self.people.get(self.up.person)
        both = pitcher is not None and pitcher.throws == BOTH
        waits = hitter is not None and hitter.bats == BOTH and not self.up.said
        return self.up.bats if both and not waits else ""

    @property
    def hand(self) -> Hand:
        """The same as far as it hangs on no hitter: as shown, or the one hand he has."""
        if self.shown:
            return self.shown
        pitcher = self.people.get(self.pitcher)
        if pitcher is None:
            return ""
        return self.one_handed.get(pitcher.id, "") if pitcher.throws == "S" else pitcher.throws

    @property
    def hitting(self) -> Side:
        """The side at bat."""
        return other(self.pitching)

    @property
    def pitcher(self) -> str:
        """The person pitching now, "" when not known."""
        return self.pitchers.get(self.pitching, "")

    @property
    def catcher(self) -> str:
        """The person catching now, "" when not known."""
        return self.catchers.get(self.pitching, "")

    @property
    def order(self) -> Order:
        """The order of the side at bat."""
        return self.orders.get("them" if self.pitching == "us" else "us", _NO_ORDER)

    @property
    def line_ups(self) -> Mapping[Side, tuple[str, ...]]:
        """Each side's slots as far as they are known."""
        return {side: order.slots for side, order in self.orders.items()}

    @property
    def due(self) -> tuple[str, ...]:
        """Who hits now and next, as far as is known."""
        if self.up is None:
            return self.order.coming()
        return self.order.taking(self.up.person).coming()

    @property
    def over_reason(self) -> str:
        """Why the rule set says the game may be over, "" while it goes on."""
        from sequencer.records.halves import over_reason

        return over_reason(self)

    def meant(self, person: str) -> str:
        """Return the id a person is known by now (merged ids mean who was kept)."""
        known = self.people.get(person)
        return known.id if known else person

    def label(self, person: str) -> str:
        """Return the name or number of a person, for a sentence."""
        known = self.people.get(person)
        if known is not None:
            return known.label
        return "a runner" if person in ("", "1") else "an unnamed player"


_FIELDS: Final = len(fields(State))

if TYPE_CHECKING:
    # One call for another: the fields named are checked as those of `replace` are.
    from dataclasses import replace as having
else:

    def having(state: State, **changes: Any) -> State:
        """Return the state with some fields changed, as `dataclasses.replace` does.

        That fills field by field through the constructor and takes six times as long, which is
        half of what replaying a game takes.
        """
        new = object.__new__(State)
        held = new.__dict__
        held.update(state.__dict__)
        held.update(changes)
        if len(held) > _FIELDS:
            raise TypeError(f"a State has no {', '.join(changes)}")
        return new


def moment(state: State) -> Moment:
    """Return where, when and who now; the hitter is "" while nobody is known to be up."""
    up = state.up or Up("", "R", state.order.due + 1, assumed=True)
    first, second, third = state.bases
    return Moment(
        inning=state.inning,
        half=state.half,
        pitching=state.pitching,
        outs=state.outs,
        on_first=first,
        on_second=second,
        on_third=third,
        score_us=state.score_us,
        score_them=state.score_them,
        balls=state.count.balls,
        strikes=state.count.strikes,
        pitcher=state.pitcher,
        catcher=state.catcher,
        hitter=up.person,
        bats=up.bats,
        bats_assumed=up.assumed,
        slot=up.slot,
        at_bat=state.at_bat,
        pitch_no=state.pitch_no,
        throws=state.throws,
    )
