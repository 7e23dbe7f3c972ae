"""A made-up season, pitch by pitch: invented people with habits on purpose, seeded.

The chances here are ours, chosen to look like a season of this age; they are for demonstration and
prove nothing about baseball.
"""

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from sequencer.baseball import zone
from sequencer.records.event import Event
from sequencer.records.pitch import Pitch
from sequencer.records.replay import State

Habit = Callable[[State, str, np.random.Generator], dict[str, float]]
Aim = Callable[[State, str, str, np.random.Generator], str]


@dataclass(frozen=True)
class Arm:
    """An invented pitcher: his mix, where he aims each type, how far he misses, how fast it is."""

    name: str
    throws: str
    mix: Habit
    aim: Aim
    spread_in: float
    mph: dict[str, float]
    signs: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Bat:
    """An invented hitter: how he swings, misses and hits it square, 1 being average."""

    name: str
    number: str
    bats: str
    swing: float = 1.0
    miss: float = 1.0
    power: float = 1.0


def throw(
    arm: Arm, state: State, bats: str, bat: Bat, caller: str, area: zone.Zone,
    rng: np.random.Generator,
) -> Pitch:  # fmt: skip
    """Draw one pitch of this arm to this hitter in this state."""
    mix = arm.mix(state, bats, rng)
    names = list(mix)
    called = str(rng.choice(names, p=np.array(list(mix.values())) / sum(mix.values())))
    target = arm.aim(state, bats, called, rng)
    side, height = land(arm, called, zone.to_catcher(target, bats), area, rng)
    return happens(arm, called, target, (side, height), state, bats, bat, caller, area, rng)


def land(
    arm: Arm, pitch: str, seen_target: str, area: zone.Zone, rng: np.random.Generator
) -> tuple[float, float]:
    """Draw where a pitch at this target crosses, in inches, catcher's view."""
    aim_side, aim_height = zone.centre_of(seen_target, area)
    spread = arm.spread_in * (1.0 if pitch == "fastball" else 1.15)
    side = float(np.clip(rng.normal(aim_side, spread), -40, 40))
    height = float(
        np.clip(rng.normal(aim_height - (0 if pitch == "fastball" else 2), spread), 0, 70)
    )
    return round(side, 1), round(height, 1)


_SWING = np.array([[0.30, 0.48, 0.55], [0.42, 0.54, 0.60], [0.43, 0.58, 0.66], [0.10, 0.55, 0.73]])


def happens(
    arm: Arm, called: str, target: str, crossed: tuple[float, float], state: State, bats: str,
    bat: Bat, caller: str, area: zone.Zone, rng: np.random.Generator,
) -> Pitch:  # fmt: skip
    """Draw what came of a pitch that crossed there."""
    u, v = zone.normalise(*crossed, area, bats)
    outside = max(abs(u) - 1, abs(v) - 1, 0.0)
    count = state.count
    swing = _SWING[count.balls, count.strikes] * bat.swing * (1.4 if outside == 0 else 0.85)
    swing *= float(np.exp(-2.2 * outside))
    seen = {
        "pitch": called,
        "called": called,
        "target": zone.to_catcher(target, bats),
        "target_when": "before",
        "caller": caller,
        "cell": zone.cell_of(*crossed, area),
        "entered": "catcher",
        "seen_from": "behind plate",
        "speed_mph": round(float(rng.normal(arm.mph[called], 1.2))),
    }
    if rng.random() > swing:
        if abs(u) < 0.25 and v < -3.2:
            return Pitch(result="ball", **seen)
        if u < -3.2 and abs(v) < 2:
            return Pitch(result="hit by pitch", **seen)
        strike = rng.random() < 1 / (1 + np.exp((outside - 0.08) * 14))
        return Pitch(result="called strike" if strike else "ball", **seen)
    return swung(called, seen, outside, bat, bats, rng)


#: Shares pulled, up the middle and the other way: ground balls are pulled more (assumption).
_SPRAY = {"ground": (0.52, 0.3, 0.18), "line": (0.38, 0.34, 0.28), "fly": (0.3, 0.34, 0.36)}


def swung(
    called: str, seen: dict[str, object], outside: float, bat: Bat, bats: str,
    rng: np.random.Generator,
) -> Pitch:  # fmt: skip
    """Draw what came of a swing."""
    miss = (0.14 if called == "fastball" else 0.26) * bat.miss + 0.25 * outside
    if rng.random() < min(miss, 0.9):
        return Pitch(result="swinging strike", **seen)
    if rng.random() < 0.42:
        foul = "foul" if rng.random() < 0.95 else "foul tip"
        return Pitch(result=foul, **seen)
    square = float(np.clip(0.24 * bat.power - 0.2 * outside, 0.02, 0.6))
    contact = str(rng.choice(["square", "fair", "weak"], p=[square, 0.45, 0.55 - square]))
    shares = {
        "square": {"out": 0.36, "single": 0.36, "double": 0.19, "triple": 0.03, "home run": 0.06},
        "fair": {"out": 0.74, "single": 0.2, "double": 0.03, "error": 0.03},
        "weak": {"out": 0.84, "single": 0.09, "error": 0.07},
    }[contact]
    play = str(rng.choice(list(shares), p=list(shares.values())))
    flight = str(rng.choice(["ground", "line", "fly"], p=[0.48, 0.2, 0.32]))
    if play == "home run":
        flight = "fly"
    # Its own stream: what else happens does not hang on where the ball goes.
    spray = str(rng.spawn(1)[0].choice(["pull", "middle", "opposite"], p=_SPRAY[flight]))
    return Pitch(result="in play", play=play, contact=contact, flight=flight, spray=spray, **seen)


def runner_event(state: State, rng: np.random.Generator) -> Event | None:
    """Draw, now and then, a steal or a wild pitch before the next pitch."""
    first, second, third = state.bases
    if first and not second and rng.random() < 0.05:
        out = rng.random() < 0.3
        return Event(
            event="caught stealing" if out else "steal",
            base_from="1",
            base_to="out" if out else "2",
        )
    if third and rng.random() < 0.015:
        return Event(event="wild pitch", base_from="3", base_to="home")
    return None
