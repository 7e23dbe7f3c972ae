"""Calls: a pitch type and a target asked for, only as fine as this pitcher can hit.

Targets climb a ladder (middle, halves, quarters, spots, ring). A finer step is offered when it
saves more runs than the doubt about the plan, at the wider end of this pitcher's spread: see
`STEP_LIMITS_IN`.
"""

from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, Literal, NamedTuple

import numpy as np

from sequencer.baseball.count import COUNTS, Count
from sequencer.baseball.pitches import FAMILIES, TYPES
from sequencer.baseball.zone import LADDER, TARGETS, targets
from sequencer.errors import BadInput
from sequencer.estimates.command import PitchBelief, PitcherBelief
from sequencer.planning.arrays import Bools

#: Runs per 100 plate appearances a finer step must save: about what plans made from resampled fits
#: lose (measured: on average .21 at 13-14, .26 at 17-18, .31 for professionals; .19 over all with
#: what surprise is worth held).
WORTH_A_STEP: Final = 0.2
#: Widest spread (inches to one side, the doubt about it added) at which a step still saves so much
#: over the step before it. Measured on the committed coefficients, average hitter, three pitches of
#: one spread, in professional, high-school and 13-14 leagues, runs per 100 (`python -m
#: tests.planning.ladder`): halves save .35, .33 and .25 at 12 inches, .28, .29 and .21 at 13;
#: quarters .33, .38 and .25 at 9, .18, .24 and .18 at 10; spots .30, .41 and .31 at 8.5, .22, .23
#: and .19 at 9; the ring .33, .25 and .22 at 9, .23, .13 and .11 at 9.5. So a pitcher who spreads
#: by a foot is offered the middle alone, unless long charting makes that sure.
STEP_LIMITS_IN: Final = MappingProxyType({"half": 12.5, "quarter": 9.5, "spot": 8.9, "ring": 9.2})
#: What a pitcher is told whose fastball is offered the middle only.
STRIKE_FIRST: Final = "strike first: location cannot be planned for him yet"

Side = Literal["", "in", "away"]


class Call(NamedTuple):
    """A pitch type and a target in hitter words."""

    pitch: str
    target: str

    @property
    def family(self) -> str:
        """The family of the pitch."""
        return TYPES[self.pitch]

    @property
    def side(self) -> str:
        """Where to the hitter: in, middle or away."""
        column = self.target.removeprefix("off-").rpartition("-")[2]
        return column if column in ("in", "away") else "middle"

    def __str__(self) -> str:
        return f"{self.pitch} {self.target}"


#: Words of a chart that stand for every pitch of a family in a rule.
CHART_WORDS: Final = MappingProxyType(
    {"fastball": "fast", "breaking ball": "breaking", "off-speed": "off-speed"}
)
_ROWS: Final = MappingProxyType(
    {"high": "up", "up": "up", "above": "up", "low": "down", "down": "down", "below": "down"}
)


class Wanted(NamedTuple):
    """A call as a coach says it: `fastball`, `curveball down-away`; no target is any of them."""

    pitch: str
    target: str = ""

    def names(self, call: Call) -> bool:
        """Whether a call is one of those meant."""
        return self.pitch in (call.pitch, "") or CHART_WORDS.get(self.pitch) == call.family

    def aims(self, call: Call) -> bool:
        """Whether a call is aimed where this says, as finely as this says it."""
        if self.target in ("", call.target):
            return True
        parts = self.target.replace("off-", "").split("-")
        rows = {_ROWS[part] for part in parts if part in _ROWS}
        sides = {part for part in parts if part in ("in", "away")}
        own = {_ROWS[part] for part in call.target.split("-") if part in _ROWS}
        return bool(rows or sides) and rows <= own and sides <= {call.side}

    def __str__(self) -> str:
        return f"{self.pitch} {self.target}".strip()


class CountRule(NamedTuple):
    """A call that is wanted, and nothing else, or never wanted, in some counts."""

    call: Wanted
    counts: tuple[Count, ...]
    never: bool
    says: str

    def matches(self, call: Call) -> bool:
        """Whether a call is the one this rule is about."""
        return self.call.names(call) and self.call.aims(call)


@dataclass(frozen=True, slots=True)
class CoachRules:
    """What the coach will have and will not: constraints of the game, never filters after it.

    Attributes
    ----------
    breaking : bool or None
        Breaking balls on or off; None leaves it to the level's guidance.
    one_half : str
        Only this half of the plate (in or away), and the middle of neither.
    never : tuple of str
        Pitch types left out, such as one shelved today.
    no_middle : bool
        Nothing aimed at the middle of the plate.
    first_pitch_strike : bool
        The first pitch is aimed inside the zone.
    last_pitch : bool
        Whether what the last pitch showed may matter (it is little; see `assumed`).
    counts : tuple of CountRule
        What is wanted, or not, in some counts.
    until_proven : bool
        The half is worked only until this hitter proves it; see `coach.proved`.
    """

    breaking: bool | None = None
    one_half: Side = ""
    never: tuple[str, ...] = ()
    no_middle: bool = False
    first_pitch_strike: bool = False
    last_pitch: bool = True
    counts: tuple[CountRule, ...] = ()
    until_proven: bool = False

    def __post_init__(self) -> None:
        for pitch in self.never:
            if pitch not in TYPES:
                raise BadInput(f"'{pitch}' is not a pitch type: use one of {', '.join(TYPES)}.")
        if self.one_half not in ("", "in", "away"):
            raise BadInput(f"'{self.one_half}' is no half of the plate: use in or away.")
        if self.until_proven and not self.one_half:
            raise BadInput("Say which half is worked until he proves it: in or away.")

    @property
    def bind(self) -> bool:
        """True when something is ruled out that the level's guidance allows."""
        return bool(
            self.one_half
            or self.never
            or self.no_middle
            or self.first_pitch_strike
            or self.breaking is False
            or self.counts
        )

    def allows(self, call: Call) -> bool:
        """Whether a call may be used at all under these rules."""
        if call.pitch in self.never or (self.breaking is False and call.family == "breaking"):
            return False
        if self.one_half and call.side != self.one_half:
            return False
        return not (self.no_middle and call.side == "middle")

    def allows_in(self, call: Call, count: Count) -> bool:
        """Whether a call may be used in a count under these rules."""
        if not self.allows(call):
            return False
        if self.first_pitch_strike and count == Count(0, 0) and not in_zone(call.target):
            return False
        here = [rule for rule in self.counts if count in rule.counts]
        wanted = [rule for rule in here if not rule.never]
        if wanted and not any(rule.matches(call) for rule in wanted):
            return False
        return not any(rule.never and rule.matches(call) for rule in here)


def in_zone(target: str) -> bool:
    """Whether a target lies in the strike zone rather than on the ring around it."""
    return not any(part in target for part in ("off-", "above", "below"))


def step_for(pitch: PitchBelief) -> str:
    """Return the finest step of the ladder that this pitch's command supports.

    The doubt about his spread is added to it: a pitcher of whom little is known is offered what the
    wider end of that doubt supports.
    """
    spread = pitch.spread + pitch.spread_sd
    held = [step for step, limit in STEP_LIMITS_IN.items() if spread <= limit]
    return held[-1] if held else LADDER[0]


def strike_first(pitcher: PitcherBelief) -> bool:
    """Whether no pitch of his can be aimed at all."""
    return all(step_for(pitch) == "middle" for pitch in pitcher.available)


def planned(
    pitcher: PitcherBelief, breaking_allowed: bool, coach: CoachRules
) -> tuple[PitchBelief, ...]:
    """Return the pitches a plan may hold: not shelved, of a known family, within the guidance.

    Parameters
    ----------
    pitcher : PitcherBelief
    breaking_allowed : bool
        What the level's guidance says of breaking balls, unless the coach says otherwise.
    coach : CoachRules

    Raises
    ------
    BadInput
        If no pitch is left.
    """
    breaking = breaking_allowed or coach.breaking is True
    held = tuple(
        pitch
        for pitch in pitcher.offered(coach.never)
        if pitch.family in FAMILIES and (breaking or pitch.family != "breaking")
    )
    if not held:
        raise BadInput(
            f"{pitcher.name} has no pitch to plan with: name what he throws with --arsenal, "
            'such as --arsenal "fastball,changeup".'
        )
    return held


def calls_for(pitches: tuple[PitchBelief, ...], *coaches: CoachRules) -> tuple[Call, ...]:
    """Return every call of these pitches, as finely aimed as each can be.

    A coach who wants one half of the plate, or not the middle, gets at least halves to choose from.
    """
    halves = any(
        coach.one_half or coach.no_middle or any(rule.call.target for rule in coach.counts)
        for coach in coaches
    )
    calls = []
    for pitch in pitches:
        step = step_for(pitch)
        if step == "middle" and halves:
            step = "half"
        calls += [Call(pitch.pitch, target) for target in _targets(step)]
    return tuple(calls)


def _targets(step: str) -> tuple[str, ...]:
    """Targets of a step with the middle always among them, under its one name."""
    return ("middle", *(word for word in targets(step) if word not in ("middle", "belt-middle")))


def allowed_calls(calls: tuple[Call, ...], coach: CoachRules) -> Bools:
    """Return what the coach's rules leave in every count, (4, 3, calls).

    Raises
    ------
    BadInput
        If they leave nothing in some count.
    """
    left = np.array([[coach.allows_in(call, count) for call in calls] for count in COUNTS])
    for count, here in zip(COUNTS, left, strict=True):
        if not here.any():
            where = "at all" if not left.any() else f"at {count}"
            raise BadInput(f"These rules leave no call {where}: take one of them back.")
    return left.reshape(4, 3, len(calls))


def read_call(text: str) -> Call:
    """Read a call or a last pitch such as ``fastball away`` or ``curveball down-away``.

    Raises
    ------
    BadInput
        If the pitch or the place is unknown.
    """
    words = " ".join(text.split()).lower()
    for pitch in sorted(TYPES, key=len, reverse=True):
        if words == pitch or words.startswith(pitch + " "):
            target = words[len(pitch) :].strip() or "middle"
            if target in TARGETS:
                return Call(pitch, target)
            raise BadInput(f"'{target}' is not a place to aim at: use away, low-in or down-away.")
    raise BadInput(f"'{text}' does not begin with a pitch type: write it as 'fastball away'.")
