"""What we believe of one pitcher: where each pitch goes when asked for, and how surely."""

from collections import Counter
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from sequencer.baseball import levels
from sequencer.baseball.pitches import TYPES, family
from sequencer.estimates.arrays import Floats
from sequencer.estimates.arsenal import today_of
from sequencer.estimates.pitcher import LOST_WIDER, PitchBelief, PitcherBelief
from sequencer.estimates.places import centres, crossed, words, zone_of_rows
from sequencer.estimates.shrinkage import Share, Spread, shrunk, spread_of

if TYPE_CHECKING:
    import pandas as pd

    from sequencer.baseball.levels import Level
    from sequencer.baseball.zone import Zone
    from sequencer.records.people import Person

__all__ = ["LOST_WIDER", "PitchBelief", "PitcherBelief", "average", "believe"]

#: Share of lost pitches, and the throws that it weighs (assumptions).
LOST: Final = 0.03
LOST_THROWS: Final = 60.0
#: Throws that the level's spread weighs (assumption: about two bullpens of one pitch), and those
#: that no bias weighs (assumption: biases of a pitcher's pitch spread about 3 inches).
PRIOR_THROWS: Final = 25.0
BIAS_THROWS: Final = 11.0
#: Strike share where the level publishes none (61 and 57 per cent first pitch: a high-school
#: count), how much lower soft pitches are, and the pitches it weighs (assumptions; pitchers' walk
#: share has a published weight of about 277 pitches, between pitchers of one level).
STRIKE_SHARE: Final = 0.60
SOFT_LOWER: Final = 0.04
STRIKE_PITCHES: Final = 40.0
#: A type is his when he throws it this often, or his signs or a bullpen name it (assumption).
LEAST_SHARE: Final = 0.02
STRIKES: Final = ("called strike", "swinging strike", "foul", "foul tip", "in play")
_ROUNDS: Final = 4


def average(
    level: str,
    *,
    arsenal: tuple[str, ...] = ("fastball", "changeup"),
    name: str = "average pitcher",
    throws: str = "R",
) -> PitcherBelief:
    """Return the pitcher of a level of whom nothing is known but what he throws.

    Raises
    ------
    BadInput
        If the level is unknown.
    """
    none = Throws(np.empty((0, 2)), np.empty((0, 2)))
    at = levels.level(level)
    return PitcherBelief(
        name, throws, level, tuple(_pitch(pitch, at, none, 0, 0) for pitch in arsenal)
    )


def believe(
    person: "Person",
    throws_frame: "pd.DataFrame | None",
    pitches_frame: "pd.DataFrame | None",
    level: str,
    today: "pd.DataFrame | None" = None,
) -> PitcherBelief:
    """Return what bullpens and games say of a pitcher.

    Parameters
    ----------
    person : Person
    throws_frame, pitches_frame : DataFrame or None
        Bullpen throws and game pitches, columns of their logs.
    level : str
    today : DataFrame or None
        Today's game pitches so far: they count as any others, and may shelve a pitch.

    Returns
    -------
    PitcherBelief
        Where no target was charted the spread is the level's and only strike shares are learnt.
    """
    at = levels.level(level)
    games = [frame for frame in (pitches_frame, today) if frame is not None and not frame.empty]
    pens = [] if throws_frame is None or throws_frame.empty else [throws_frame]
    counted = [_counted(frame) for frame in games]
    arsenal = tuple(_learnt(pitch, at, counted, pens) for pitch in _types(person, counted, pens))
    notes = () if any(pitch.charted for pitch in arsenal) else (NO_TARGETS,)
    belief = PitcherBelief(person.label, person.throws or "R", level, arsenal, notes)
    return belief if today is None else today_of(belief, _counted(today))


NO_TARGETS: Final = (
    "No targets charted yet: where he misses is taken from the level, only strikes are his own."
)


def _counted(frame: "pd.DataFrame") -> "pd.DataFrame":
    """Return the pitches that count: no pitch-outs and no intentional balls."""
    return frame[[word == "" for word in words(frame, "intent")]]


def _types(
    person: "Person", games: "list[pd.DataFrame]", pens: "list[pd.DataFrame]"
) -> tuple[str, ...]:
    """Return the types he throws, the most thrown in games first."""
    thrown = Counter(pitch for frame in games for pitch in words(frame, "pitch"))
    practised = Counter(pitch for frame in pens for pitch in words(frame, "pitch"))
    named = [*practised, *person.signs.values()]
    least = max(2.0, LEAST_SHARE * sum(thrown.values()))
    own = [pitch for pitch, n in thrown.most_common() if n >= least]
    found = [p for p in dict.fromkeys([*own, *named]) if TYPES.get(p, "unknown") != "unknown"]
    return tuple(found) or ("fastball", "changeup")


def _learnt(
    pitch: str, at: "Level", games: "list[pd.DataFrame]", pens: "list[pd.DataFrame]"
) -> PitchBelief:
    charted = [misses(frame, pitch, at.zone, "bats") for frame in games]
    charted += [misses(frame, pitch, at.zone, "hitter_side") for frame in pens]
    results = [
        result
        for frame in games
        for kind, result in zip(words(frame, "pitch"), words(frame, "result"), strict=True)
        if kind == pitch
    ]
    strikes = sum(result in STRIKES for result in results)
    known = strikes + sum(result in ("ball", "hit by pitch") for result in results)
    return _pitch(pitch, at, joined(charted), strikes, known)


def _pitch(pitch: str, at: "Level", charted: "Throws", strikes: int, thrown: int) -> PitchBelief:
    """Return one pitch from its charted misses and its strikes."""
    kind = family(pitch)
    prior = np.eye(2) * at.spread_in[kind] ** 2
    slipped = np.zeros(len(charted.miss))
    for _ in range(_ROUNDS):
        found = spread_of(
            charted.miss, charted.error, 1.0 - slipped, prior,
            mean_weight=BIAS_THROWS, freedom=PRIOR_THROWS,
        )  # fmt: skip
        lost = shrunk(
            float(slipped.mean()) if len(slipped) else 0.0, len(slipped), LOST, LOST_THROWS
        )
        slipped = _slipped(charted, found, lost)
    share = Share.of(strikes, thrown, _usual_strikes(at, kind), STRIKE_PITCHES)
    return PitchBelief(
        pitch, kind, found.mean, found.cov, found.mean_cov, found.freedom, lost,
        len(charted.miss), thrown, share.mean, share.interval(),
    )  # fmt: skip


def _usual_strikes(at: "Level", kind: str) -> float:
    usual = STRIKE_SHARE if at.strike_share is None else at.strike_share
    return usual if kind == "fast" else usual - SOFT_LOWER


def _slipped(charted: "Throws", found: Spread, lost: float) -> Floats:
    """Return the probability that each charted throw was a lost one."""
    away = charted.miss - found.mean
    held = _density(away, found.cov + _diagonal(charted.error)) * (1.0 - lost)
    wide = _density(away, found.cov * LOST_WIDER**2 + _diagonal(charted.error)) * lost
    return np.asarray(wide / np.maximum(held + wide, 1e-300))


def _diagonal(error: Floats) -> Floats:
    return np.asarray(error[:, :, None] * np.eye(2))


def _density(away: Floats, cov: Floats) -> Floats:
    power = np.einsum("ni,nij,nj->n", away, np.linalg.inv(cov), away)
    return np.asarray(np.exp(-0.5 * power) / np.sqrt(np.linalg.det(cov)))


class Throws(NamedTuple):
    """Charted throws of one type: actual minus target and its variance of seeing, (n, 2) inches."""

    miss: Floats
    error: Floats


def joined(parts: "list[Throws]") -> Throws:
    """Return all throws of several logs."""
    if not parts:
        return Throws(np.empty((0, 2)), np.empty((0, 2)))
    return Throws(np.concatenate([p.miss for p in parts]), np.concatenate([p.error for p in parts]))


def misses(frame: "pd.DataFrame", pitch: str, zone: "Zone", side_column: str) -> Throws:
    """Return the charted misses of one type: a target asked before the pitch, and a place.

    Left out: targets entered after the result, and cross-ups (another type asked for than thrown).
    """
    asked, thrown = words(frame, "called"), words(frame, "pitch")
    after = words(frame, "target_when")
    rows = [
        i
        for i in range(len(frame))
        if thrown[i] == pitch and after[i] != "after" and not _crossed_up(asked[i], pitch)
    ]
    own = frame.iloc[rows]
    targets = centres(words(own, "target"), words(own, side_column), zone_of_rows(own, zone))
    place = crossed(own, zone, side_column)
    away = place.inches - targets
    known = np.isfinite(away).all(axis=1)
    return Throws(away[known], place.error[known])


def _crossed_up(called: str, thrown: str) -> bool:
    """Return whether another pitch came than was asked for; coarse words may mean the same one."""
    if not called or called == thrown or TYPES.get(called, "unknown") == "unknown":
        return False
    coarse = {"fastball", "breaking ball", "off-speed"}
    return TYPES[called] != TYPES[thrown] or not ({called, thrown} & coarse)
