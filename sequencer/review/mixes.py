"""What a pitcher usually throws, by the kind of count and by the side we hit from, with spread."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from sequencer.review.coded import COUNT_GROUPS, Coded
from sequencer.review.findings import Finding
from sequencer.review.question import the, type_word
from sequencer.review.says import condition, of_100
from sequencer.review.statistics import wilson

#: From this many pitches on a share is told. Common practice, no source.
FEWEST: Final = 10
#: More types than this do not fit a page: the rarest are then told as one.
MOST: Final = 4
OTHERS: Final = "others"
#: A pitch is one to sit on when even the low end of its 95 % interval is at least this, and a habit
#: one to look for when it is more likely than not. Assumptions.
SIT_ON: Final = 0.6
_LOOK_FOR: Final = 0.5
_SIDES: Final = {"R": "right", "L": "left"}
_PHRASES: Final = {
    "all": "",
    "first pitch": "on the first pitch",
    "hitter's": "in hitter's counts",
    "even": "at 1-1 and 2-2",
    "pitcher's": "in pitcher's counts",
    "full": "at 3-2",
    "two strikes": "with two strikes",
}


@dataclass(frozen=True)
class Mixed:
    """Shares of pitches in one situation.

    Attributes
    ----------
    when : str
        "all", "first pitch", "hitter's", "even", "pitcher's", "two strikes" or "full".
    bats : {"", "R", "L"}
        The side we hit from, "" for both.
    pitches : int
    counts : dict
        Pitch -> how often it came; the same pitches in every row.
    """

    when: str
    bats: str
    pitches: int
    counts: dict[str, int]

    def share(self, pitch: str) -> tuple[float, tuple[float, float]]:
        """Return a pitch's share and its 95 % interval (Wilson, by pitch)."""
        count = self.counts[pitch]
        return count / self.pitches, wilson(count, self.pitches)

    def as_json(self) -> dict[str, object]:
        """Return plain values."""
        shares = {pitch: self.share(pitch) for pitch in self.counts}
        return {
            "when": self.when,
            "bats": self.bats,
            "pitches": self.pitches,
            "shares": {
                pitch: {"share": share, "interval": list(span)}
                for pitch, (share, span) in shares.items()
            },
        }


def mixes(log: Coded) -> tuple[Mixed, ...]:
    """Return what one pitcher throws in each situation that was seen often enough.

    Parameters
    ----------
    log : Coded
        One pitcher's pitches.
    """
    known = log.pitch >= 0
    names, code = _names(log.pitch[known])
    found = []
    for bats, side in (("", None), ("R", 0), ("L", 1)):
        of_side = np.ones(known.sum(), bool) if side is None else log.bats[known] == side
        for when, inside in _situations(log.only(known)):
            rows = of_side & inside
            if rows.sum() >= FEWEST:
                counts = np.bincount(code[rows], minlength=len(names)).tolist()
                found.append(
                    Mixed(when, bats, int(rows.sum()), dict(zip(names, counts, strict=True)))
                )
    return tuple(found)


def _names(pitch: NDArray[np.int64]) -> tuple[list[str], NDArray[np.int64]]:
    """Return the pitches told apart, most thrown first, and each pitch's place among them."""
    types, code, times = np.unique(pitch, return_inverse=True, return_counts=True)
    order = np.argsort(-times, kind="stable")
    rank = np.empty(len(types), dtype=np.int64)
    rank[order] = np.arange(len(types))
    names = [type_word(int(types[place])) for place in order]
    if len(names) > MOST:
        names, rank = [*names[: MOST - 1], OTHERS], np.minimum(rank, MOST - 1)
    return names, rank[code]


def _situations(log: Coded) -> Iterator[tuple[str, NDArray[np.bool_]]]:
    """Yield situations by name with the pitches that are of them; two strikes overlap others."""
    yield "all", np.ones(len(log), dtype=bool)
    for name in ("first pitch", "hitter's", "even", "pitcher's", "full"):
        yield name, log.count_group == COUNT_GROUPS.index(name)
    yield "two strikes", log.strikes == 2


def sit_on(rows: Sequence[Mixed], findings: Sequence[Finding]) -> tuple[str, ...]:
    """Say what our hitters can look for, the surest first.

    Parameters
    ----------
    rows : sequence of Mixed
    findings : sequence of Finding
        What a review found; habits by count alone are left to the rows.
    """
    sure = [(row, pitch) for row in rows if (pitch := _to_sit_on(row)) and _holds(row, pitch, rows)]
    told = [each for each in sure if not _implied(*each, sure)]
    told.sort(key=lambda each: -each[0].share(each[1])[1][0])
    return (*(_say(*each) for each in told), *_from_habits(findings))


def _holds(row: Mixed, pitch: str, rows: Sequence[Mixed]) -> bool:
    """Tell whether a pitch to sit on in any count is one in each of them."""
    kinds = [each for each in rows if each.bats == row.bats]
    return row.when != "all" or all(each.share(pitch)[0] >= SIT_ON for each in kinds)


def _to_sit_on(row: Mixed) -> str:
    """Return the pitch that surely comes often enough to sit on; else ""."""
    pitch = max(row.counts, key=lambda name: row.counts[name])
    return pitch if pitch != OTHERS and row.share(pitch)[1][0] >= SIT_ON else ""


def _implied(row: Mixed, pitch: str, sure: Sequence[tuple[Mixed, str]]) -> bool:
    """Tell whether a wider row says the same of the pitch, and this one no more than that."""
    low = row.share(pitch)[1][0]
    return any(
        pitch == other
        and wider is not row
        and wider.when in ("all", row.when)
        and wider.bats in ("", row.bats)
        and low <= wider.share(pitch)[0]
        for wider, other in sure
    )


def _say(row: Mixed, pitch: str) -> str:
    to = f"to our {_SIDES[row.bats]}-handed hitters" if row.bats else ""
    when = _PHRASES[row.when]
    phrase = " ".join(filter(None, (when, to))) or "In any count"
    return (
        f"{phrase[0].upper()}{phrase[1:]} he throws {the(pitch)} {row.counts[pitch]} of "
        f"{row.pitches}: sit on it."
    )


def _from_habits(findings: Sequence[Finding]) -> Iterator[str]:
    """Yield the habits found that no row tells."""
    for each in findings:
        where = each.contrast.condition.where
        if (
            not each.flagged
            or each.same_as
            or each.pattern.of_days
            or (each.pattern.label == "pitch" and {*where} == {"count"})
        ):
            continue
        who = "he" if each.pattern.label == "pitch" else "it"
        low = wilson(round(each.count), each.pitches)[0]
        look = "look for it" if who == "he" else "look for it there"
        then = look if low >= _LOOK_FOR else f"usual is {of_100(each.expected_share)}"
        yield (
            f"{condition(each)} {who} {each.contrast.does} {each.count:.0f} of {each.pitches}: "
            f"{then}."
        )
