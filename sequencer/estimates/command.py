"""What we believe of one pitcher: where each pitch goes when asked for, and how surely."""

from collections import Counter
from collections.abc import Iterable
from typing import TYPE_CHECKING, Final

import numpy as np

from sequencer.baseball import levels
from sequencer.baseball.pitches import TYPES, family
from sequencer.estimates.arsenal import today_of
from sequencer.estimates.misses import Throws, spread_of
from sequencer.estimates.pitcher import LOST_WIDER, PitchBelief, PitcherBelief
from sequencer.estimates.places import boxes, centres, numbers, words, zone_of_rows
from sequencer.estimates.separable import SHAPE, Separable, separable, with_alike
from sequencer.estimates.strikes import ShareOf, believe_counts, strikes_of

if TYPE_CHECKING:
    import pandas as pd

    from sequencer.baseball.levels import Level
    from sequencer.baseball.zone import Zone
    from sequencer.records.people import Person

__all__ = ["LOST_WIDER", "Before", "PitchBelief", "PitcherBelief", "average", "believe"]

#: A type is his when he throws it this often, or his signs or a bullpen name it (assumption).
LEAST_SHARE: Final = 0.02


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
    none, at = Throws.none(), levels.level(level)
    usual = believe_counts([{} for _ in arsenal], level, arsenal)
    return PitcherBelief(
        name, throws, level, tuple(of_throws(one.pitch, at, none, one.overall) for one in usual)
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
        Today's game pitches so far: their misses count as any others, their strikes move what he
        has today, and may shelve a pitch.

    Returns
    -------
    PitcherBelief
        Where no target was charted the spread is the level's and only strike shares are learnt.
    """
    return Before(person, throws_frame, pitches_frame, level).with_today(today)


class Before:
    """What is known of a pitcher before today, ready for today's pitches as they come.

    `with_today` gives exactly what `believe` gives; only what today's pitches have moved since it
    was last asked is worked out anew.

    Parameters
    ----------
    person, throws_frame, pitches_frame, level
        As in `believe`.
    """

    def __init__(
        self,
        person: "Person",
        throws_frame: "pd.DataFrame | None",
        pitches_frame: "pd.DataFrame | None",
        level: str,
    ) -> None:
        self._person, self._at = person, levels.level(level)
        self._games = _filled([pitches_frame])
        self._pens = _filled([throws_frame], counted=False)
        self._thrown = _thrown(self._games)
        self._practised = _thrown(self._pens)
        self._charted: dict[str, Throws] = {}
        self._shares: dict[tuple[str, ...], dict[str, ShareOf]] = {}
        self._spreads: dict[str, tuple[bytes, ShareOf, PitchBelief]] = {}
        self._looks: tuple[tuple[str, ...], tuple[bytes, ...], Separable] | None = None

    def with_today(
        self, today: "pd.DataFrame | None" = None, warm_up: "pd.DataFrame | None" = None
    ) -> PitcherBelief:
        """Return what is believed with today's game pitches so far, all of them.

        Throws charted while he warmed up count as today's, by whether they were strikes.
        """
        now, warm = _filled([today]), _filled([warm_up], counted=False)
        types = _types(self._person, self._thrown + _thrown(now), self._practised + _thrown(warm))
        arsenal = tuple(self._pitch(pitch, types, now, warm) for pitch in types)
        notes = () if any(pitch.charted for pitch in arsenal) else (NO_TARGETS,)
        hand = self._person.throws or "R"
        belief = PitcherBelief(self._person.label, hand, self._at.name, arsenal, notes)
        looked = with_alike(belief, self._told_apart(types, now))
        if not (now or warm):
            return looked
        return today_of(looked, now[0] if now else None, warm[0] if warm else None)

    def _pitch(
        self,
        pitch: str,
        types: tuple[str, ...],
        now: "list[pd.DataFrame]",
        warm: "list[pd.DataFrame]",
    ) -> PitchBelief:
        """Return one pitch; as it was, when no throw of it was charted since."""
        if types not in self._shares:
            games = self._games[0] if self._games else None
            pens = self._pens[0] if self._pens else None
            found = strikes_of(games, pens, self._at.name, types)
            self._shares[types] = {one.pitch: one.overall for one in found}
        share = self._shares[types][pitch]
        if pitch not in self._charted:
            self._charted[pitch] = _charted_in(pitch, self._at, self._games, self._pens)
        more = _charted_in(pitch, self._at, now, warm)
        known = b"".join(part.tobytes() for part in more)
        held = self._spreads.get(pitch)
        if held is None or held[:2] != (known, share):
            throws = Throws.joined([self._charted[pitch], more])
            held = (known, share, of_throws(pitch, self._at, throws, share))
            self._spreads[pitch] = held
        return held[2]

    def _told_apart(self, types: tuple[str, ...], now: "list[pd.DataFrame]") -> Separable:
        """Return which pitches look alike; as before, where nothing came that could tell."""
        frames = self._games + now + self._pens
        came = tuple(map(_looked, now)) if any(map(_measured, frames)) else ()
        if self._looks is None or self._looks[:2] != (types, came):
            self._looks = types, came, separable(shapes(frames), types)
        return self._looks[2]


def _filled(
    frames: "Iterable[pd.DataFrame | None]", *, counted: bool = True
) -> "list[pd.DataFrame]":
    """Return the frames that hold pitches; of a game only those that count."""
    kept = [frame for frame in frames if frame is not None and not frame.empty]
    return [_counted(frame) for frame in kept] if counted else kept


def _measured(frame: "pd.DataFrame") -> bool:
    """Return whether speed or break of any pitch was measured."""
    return any(np.isfinite(numbers(frame, column)).any() for column in SHAPE)


def _looked(frame: "pd.DataFrame") -> bytes:
    """Return what pitches looked like, to tell whether more has come."""
    seen = np.column_stack([numbers(frame, column) for column in SHAPE])
    return seen.tobytes() + "\n".join(words(frame, "pitch")).encode()


def shapes(frames: "Iterable[pd.DataFrame]") -> "pd.DataFrame | None":
    """Return what games and bullpens say of how pitches look, for `separable`."""
    import pandas as pd

    kept = [frame.reindex(columns=["pitch", "intent", *SHAPE]).astype(object) for frame in frames]
    return pd.concat(kept) if kept else None


NO_TARGETS: Final = (
    "No targets charted yet: where he misses is taken from the level, only strikes are his own."
)


def _counted(frame: "pd.DataFrame") -> "pd.DataFrame":
    """Return the pitches that count: no pitch-outs and no intentional balls."""
    return frame[[word == "" for word in words(frame, "intent")]]


def _thrown(frames: "list[pd.DataFrame]") -> Counter[str]:
    """Return how often each type was thrown."""
    return Counter(pitch for frame in frames for pitch in words(frame, "pitch"))


def _types(person: "Person", thrown: Counter[str], practised: Counter[str]) -> tuple[str, ...]:
    """Return the types he throws, the most thrown in games first."""
    named = [*practised, *person.signs.values()]
    least = max(2.0, LEAST_SHARE * sum(thrown.values()))
    own = [pitch for pitch, n in thrown.most_common() if n >= least]
    found = [p for p in dict.fromkeys([*own, *named]) if TYPES.get(p, "unknown") != "unknown"]
    return tuple(found) or ("fastball", "changeup")


def _charted_in(
    pitch: str, at: "Level", games: "list[pd.DataFrame]", pens: "list[pd.DataFrame]"
) -> Throws:
    """Return the charted throws of one type in games and bullpens."""
    seen = [charted(frame, pitch, at.zone, "bats") for frame in games]
    return Throws.joined(seen + [charted(pen, pitch, at.zone, "hitter_side") for pen in pens])


def of_throws(pitch: str, at: "Level", throws: Throws, share: ShareOf) -> PitchBelief:
    """Return what charted throws and a strike share say of one pitch at a level."""
    kind = family(pitch)
    found = spread_of(throws, np.eye(2) * at.spread_in[kind] ** 2)
    return PitchBelief(
        pitch, kind, found.mean, found.cov, found.mean_cov, found.freedom, found.lost,
        len(throws.low), share.counted.thrown, share.mean, share.interval,
    )  # fmt: skip


def charted(frame: "pd.DataFrame", pitch: str, zone: "Zone", side_column: str) -> Throws:
    """Return the charted throws of one type: a target asked before the pitch, and a place.

    Left out: targets entered after the result, and cross-ups (another type asked for than thrown).
    The middle of a half or a quarter is its target, as it is in a plan.
    """
    asked, thrown = words(frame, "called"), words(frame, "pitch")
    after = words(frame, "target_when")
    rows = [
        i
        for i in range(len(frame))
        if thrown[i] == pitch and after[i] != "after" and not crossed_up(asked[i], pitch)
    ]
    own = frame.iloc[rows]
    targets = centres(words(own, "target"), words(own, side_column), zone_of_rows(own, zone))
    place = boxes(own, zone, side_column)
    known = np.isfinite(targets).all(axis=1) & ~np.isnan(place.low).any(axis=1)
    return Throws((place.low - targets)[known], (place.high - targets)[known], place.error[known])


def crossed_up(called: str, thrown: str) -> bool:
    """Return whether another pitch came than was asked for; coarse words may mean the same one."""
    if not called or called == thrown or TYPES.get(called, "unknown") == "unknown":
        return False
    coarse = {"fastball", "breaking ball", "off-speed"}
    return TYPES[called] != TYPES[thrown] or not ({called, thrown} & coarse)
