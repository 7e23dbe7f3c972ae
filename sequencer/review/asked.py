"""What the plan asked for, what was called and what was thrown, over the very same pitches."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from sequencer.baseball import pitches, zone
from sequencer.estimates.command import crossed_up
from sequencer.review.coded import CALLED_FROM, SIDES, Coded, Codes, side_of
from sequencer.review.placing import crossed, spelled
from sequencer.review.plans import Mix, Plans, Shown
from sequencer.review.question import type_word
from sequencer.review.statistics import wilson

if TYPE_CHECKING:
    import pandas as pd

Shares = NDArray[np.float64]
Mask = NDArray[np.bool_]
Span = tuple[float, float]
#: Fewest pitches that shares are told of. Common practice, no source.
FEWEST: Final = 30
_TYPES: Final = tuple(pitches.TYPES)
_CODES: Final = {word: i for i, word in enumerate(_TYPES) if word != "unknown"}
_SIDE: Final = {word: side_of(word) for word in zone.WORDS}


@dataclass(frozen=True)
class Share:
    """One pitch type, or one side of the plate.

    Attributes
    ----------
    what : dict
        `pitch` or `side`.
    asked : float or None
        Share the plan asks for over these pitches: no estimate, so it has no interval of its own.
    called, thrown : (float, (float, float))
        Share and its 95 % interval (Wilson, by pitch); `called` is None where calls are not
        charted.
    """

    what: dict[str, str]
    asked: float | None
    called: tuple[float, Span] | None
    thrown: tuple[float, Span]

    @property
    def off(self) -> bool:
        """True when what was called (else thrown) is not what the plan asks for, within chance."""
        chosen = self.called or self.thrown
        if self.asked is None:
            return False
        low, high = chosen[1]
        return not low <= self.asked <= high

    def as_json(self) -> dict[str, object]:
        """Return plain values."""
        found: dict[str, object] = {**self.what, "asked": self.asked, "off": self.off}
        for name, share in (("called", self.called), ("thrown", self.thrown)):
            found[name] = share[0] if share else None
            found[f"{name}_interval"] = list(share[1]) if share else None
        return found


@dataclass(frozen=True)
class Asked:
    """Shares asked for, called and thrown, and how often another pitch came than was called.

    Attributes
    ----------
    pitches, placed : int
        Pitches behind the shares of types, and of sides.
    types, sides : tuple of Share
    cross_ups, with_call : int
        Pitches of another type than was called, of those whose call is known.
    """

    pitches: int
    placed: int
    types: tuple[Share, ...]
    sides: tuple[Share, ...]
    cross_ups: int
    with_call: int

    def as_json(self) -> dict[str, object]:
        """Return plain values."""
        return {
            "pitches": self.pitches,
            "placed": self.placed,
            "types": [each.as_json() for each in self.types],
            "sides": [each.as_json() for each in self.sides],
            "cross_ups": self.cross_ups,
            "with_call": self.with_call,
        }


@dataclass(frozen=True)
class Seen:
    """What was asked for and what came; every array has shape (pitches,), -1 is unknown."""

    called: Codes
    thrown: Codes
    target: Codes
    side: Codes

    @classmethod
    def of(cls, frame: "pd.DataFrame") -> "Seen":
        """Read a pitch log; a target that was entered after the pitch is none."""
        target = spelled(frame, "target").blank(spelled(frame, "target_when").isin(["after"]))
        return cls(
            called=spelled(frame, "called").placed(_CODES),
            thrown=spelled(frame, "pitch").placed(_CODES),
            target=target.placed(_SIDE),
            side=crossed(frame).placed(_SIDE),
        )

    def only(self, rows: Codes) -> "Seen":
        """Return the pitches at some positions."""
        return Seen(self.called[rows], self.thrown[rows], self.target[rows], self.side[rows])


def asked(seen: Seen, log: Coded, plans: Plans | None) -> Asked | None:
    """Hold what was called and thrown against what the plan asks for.

    Parameters
    ----------
    seen : Seen
        The pitches of `log`.
    log : Coded
        One pitcher's pitches.
    plans : callable, optional
        Without plans there are only calls and throws.

    Returns
    -------
    Asked or None
        None where there are too few pitches, or neither a plan nor calls.
    """
    mixes = _mixes(log, plans)
    planned = np.array([mix is not None for mix in mixes], dtype=bool)
    with_call = _charted(seen.called)
    if planned.sum() < FEWEST:
        if with_call is None:
            return None
        planned[:] = True
        mixes = [None] * len(log)
    types = planned & (seen.thrown >= 0) & (True if with_call is None else with_call)
    if types.sum() < FEWEST:
        return None
    by_type = _shares(
        "pitch",
        _TYPES,
        _by_type(mixes, types),
        None if with_call is None else seen.called[types],
        seen.thrown[types],
    )
    with_target = _charted(seen.target)
    sides = planned & (seen.side >= 0) & (True if with_target is None else with_target)
    by_side = _shares(
        "side",
        SIDES,
        _by_side(mixes, sides),
        None if with_target is None else seen.target[sides],
        seen.side[sides],
    )
    other, known = _cross_ups(seen)
    return Asked(
        pitches=int(types.sum()),
        placed=int(sides.sum()),
        types=tuple(sorted(by_type, key=lambda each: -each.thrown[0])),
        sides=by_side if sides.sum() >= FEWEST else (),
        cross_ups=other,
        with_call=known,
    )


def _charted(codes: Codes) -> Mask | None:
    """Return where it is known what was asked for, None where that is too seldom to go by."""
    known = codes >= 0
    return known if known.mean() >= CALLED_FROM else None


def _mixes(log: Coded, plans: Plans | None) -> list[Mix | None]:
    """Return the plan's mix of each pitch; the same question is asked once."""
    if plans is None:
        return [None] * len(log)
    kept: dict[tuple[str, str, int, int, Shown], Mix | None] = {}
    found = []
    for row in range(len(log)):
        pitcher, hitter = log.names(row)
        key = (pitcher, hitter, int(log.balls[row]), int(log.strikes[row]), _shown(log, row))
        if key not in kept:
            kept[key] = plans(*key)
        found.append(kept[key])
    return found


def _shown(log: Coded, row: int) -> Shown:
    if log.previous[row] < 0:
        return None
    side = int(log.previous_side[row])
    return type_word(int(log.previous[row])), SIDES[side] if side >= 0 else "middle"


def _summed(mixes: list[Mix | None], rows: Mask) -> dict[tuple[str, str], float]:
    """Add up the plan's shares over pitches, the same mix once times how often it was asked."""
    times: dict[int, int] = {}
    which: dict[int, Mix] = {}
    for row in np.flatnonzero(rows).tolist():
        mix = mixes[row]
        if mix is not None:
            which[id(mix)] = mix
            times[id(mix)] = times.get(id(mix), 0) + 1
    total: dict[tuple[str, str], float] = {}
    for key, mix in which.items():
        for call, share in mix.items():
            total[call] = total.get(call, 0.0) + times[key] * share
    return total


def _by_type(mixes: list[Mix | None], rows: Mask) -> Shares | None:
    shares = np.zeros(len(_TYPES))
    for (pitch, _target), share in _summed(mixes, rows).items():
        shares[_TYPES.index(pitch)] += share
    return shares / shares.sum() if shares.sum() else None


def _by_side(mixes: list[Mix | None], rows: Mask) -> Shares | None:
    """Return shares of the sides, over targets that name one."""
    shares = np.zeros(len(SIDES))
    for (_pitch, target), share in _summed(mixes, rows).items():
        if side_of(target) >= 0:
            shares[side_of(target)] += share
    return shares / shares.sum() if shares.sum() else None


def _shares(
    key: str,
    words: tuple[str, ...],
    plan: Shares | None,
    called: Codes | None,
    thrown: Codes,
) -> tuple[Share, ...]:
    """Return the shares of each word that was asked for, called or thrown at all."""
    return tuple(
        Share(
            {key: word},
            None if plan is None else float(plan[code]),
            None if called is None else _counted(called == code),
            _counted(thrown == code),
        )
        for code, word in enumerate(words)
        if (thrown == code).any()
        or (called is not None and (called == code).any())
        or (plan is not None and plan[code] > 0)
    )


def _counted(hits: Mask) -> tuple[float, Span]:
    return float(hits.mean()), wilson(int(hits.sum()), len(hits))


def _cross_ups(seen: Seen) -> tuple[int, int]:
    """Return how many pitches were of another type than called, of how many with a call."""
    known = (seen.called >= 0) & (seen.thrown >= 0)
    pairs, times = np.unique(
        np.stack([seen.called[known], seen.thrown[known]]), axis=1, return_counts=True
    )
    other = sum(
        number
        for (called, thrown), number in zip(pairs.T.tolist(), times.tolist(), strict=True)
        if crossed_up(_TYPES[called], _TYPES[thrown])
    )
    return int(other), int(known.sum())
