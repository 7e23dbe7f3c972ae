"""The whole review: every pitcher, every caller, the ledger, as one value that all pages read."""

import dataclasses
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from sequencer.review import ledger as ledger_room
from sequencer.review.coded import Coded, Codes, encode
from sequencer.review.findings import Finding, look_for
from sequencer.review.fixes import Fix, fix
from sequencer.review.patterns import PATTERNS, caller
from sequencer.review.plans import Plans, asked_share, is_right
from sequencer.review.question import FEWEST_PITCHES
from sequencer.review.reader import Reader, read
from sequencer.review.says import sentence
from sequencer.review.worth import Called, Stakes, Worth, worth

if TYPE_CHECKING:
    import pandas as pd

EMPTY: Final = "There are no pitches of our own in this log."
#: Pitcher -> the solved game behind his plan and his calls in it.
AllStakes = Mapping[str, tuple[Stakes, Called]]
Plain = dict[str, object]


@dataclass(frozen=True)
class Reviewed:
    """What could be read in one pitcher's pitches, or in one caller's calls.

    Attributes
    ----------
    name : str
    pitches, games : int
    findings : tuple of Finding
        Every question asked, flagged or not.
    could_find : dict
        Pattern id -> points of share a habit would need to be found.
    reader, worth, fixes
    notes : tuple of str
        What to know before reading on: too few pitches, one game, calls or throws.
    staff : bool
        True for a caller.
    """

    name: str
    pitches: int
    games: int
    findings: tuple[Finding, ...]
    could_find: Mapping[str, float]
    reader: Reader
    worth: Worth
    fixes: tuple[Fix, ...]
    notes: tuple[str, ...]
    staff: bool = False

    def as_json(self) -> Plain:
        """Return plain values under the names of `review --json`."""
        reader, worth_ = dataclasses.asdict(self.reader), dataclasses.asdict(self.worth)
        return {
            "caller" if self.staff else "pitcher": self.name,
            "pitches": self.pitches,
            "games": self.games,
            "patterns": [pattern_json(finding, staff=self.staff) for finding in self.findings],
            "could_find": {name: round(points, 1) for name, points in self.could_find.items()},
            "reader": reader,
            "worth": worth_,
            "fixes": [dataclasses.asdict(each) for each in self.fixes],
            "notes": list(self.notes),
        }


@dataclass(frozen=True)
class Review:
    """A review of a log; `says` is a sentence when there was nothing to review."""

    pitches: int
    pitchers: tuple[Reviewed, ...]
    callers: tuple[Reviewed, ...]
    ledger: tuple[Plain, ...]
    says: str = ""

    def as_json(self) -> Plain:
        """Return plain values under the names of `review --json`."""
        return {
            "pitches": self.pitches,
            "pitchers": [each.as_json() for each in self.pitchers],
            "callers": [each.as_json() for each in self.callers],
            "ledger": list(self.ledger),
            "says": self.says,
        }


def pattern_json(finding: Finding, *, staff: bool = False) -> Plain:
    """Return one finding as plain values."""
    return {
        "pattern": finding.pattern.id,
        "where": dict(finding.contrast.condition.where),
        "what": dict(finding.contrast.what),
        "says": sentence(finding, staff=staff),
        "pitches": finding.pitches,
        "share": finding.share,
        "expected_share": finding.expected_share,
        "guess_gain_per_100": finding.gain,
        "interval": list(finding.interval),
        "p": finding.p,
        "q": finding.q,
        "flagged": finding.flagged,
        "right": finding.right,
        "bits": finding.bits,
        "same_as": finding.same_as,
        "why_not": finding.why_not,
    }


def review(
    frame: "pd.DataFrame",
    *,
    plans: Plans | None = None,
    stakes: AllStakes | None = None,
    seed: int = 0,
) -> Review:
    """Review a pitch log.

    Parameters
    ----------
    frame : DataFrame
        Columns of the pitch log; only our own pitches are looked at. Not changed.
    plans : callable, optional
        (pitcher, hitter, balls, strikes, shown before) -> the plan's shares of (pitch, target);
        what it asks for is told as right. See `plans.Plans`.
    stakes : mapping, optional
        The solved game of each pitcher and his calls in it, for what a reader would gain in runs.
    seed : int
        The same log and seed give the same review, whoever else is in it.

    Returns
    -------
    Review
    """
    log = encode(frame)
    if not len(log):
        return Review(0, (), (), (), EMPTY)
    entries = ledger_room.totals(ledger_room.of_pitches(frame, log), frame, log)
    return Review(
        pitches=len(log),
        pitchers=tuple(_each(log, log.pitcher, log.words.pitchers, plans, stakes, seed)),
        callers=tuple(_each(log, log.caller, log.words.callers, plans, None, seed, staff=True)),
        ledger=tuple(entries),
    )


def _each(
    log: Coded,
    who: Codes,
    names: tuple[str, ...],
    plans: Plans | None,
    stakes: AllStakes | None,
    seed: int,
    staff: bool = False,
) -> list[Reviewed]:
    """Review each pitcher or caller on his own, in the order they first appear."""
    order = np.argsort(who, kind="stable")
    starts = np.searchsorted(who[order], np.arange(len(names) + 1))
    reviewed = []
    for code, name in enumerate(names):
        own = log.only(order[starts[code] : starts[code + 1]])
        if len(own):
            mine = (stakes or {}).get(name)
            reviewed.append(_one(own, name, plans, mine, seed, staff))
    return reviewed


def _one(
    log: Coded,
    name: str,
    plans: Plans | None,
    stakes: tuple[Stakes, Called] | None,
    seed: int,
    staff: bool,
) -> Reviewed:
    games = len(np.unique(log.game))
    findings, could_find = look_for(
        log,
        seed=seed,
        name=name,
        patterns=tuple(p for p in PATTERNS if p is not caller.PATTERN) if staff else PATTERNS,
        also_held=("pitcher",) if staff else (),
    )
    asked = [asked_share(each, log, plans) if plans else None for each in findings]
    findings = [
        dataclasses.replace(finding, right=is_right(finding, share))
        for finding, share in zip(findings, asked, strict=True)
    ]
    fixes = [
        fix(finding, log, share[0] if share else None, staff=staff)
        for finding, share in zip(findings, asked, strict=True)
        if finding.flagged and not finding.right and not finding.same_as
    ]
    rng = np.random.default_rng([seed, zlib.crc32(name.encode()), 1])
    game, called = stakes or (None, None)
    return Reviewed(
        name=name,
        pitches=len(log),
        games=games,
        findings=tuple(findings),
        could_find=could_find,
        reader=read(log, rng),
        worth=worth(game, called, rng),
        fixes=tuple(each for each in fixes if each),
        notes=tuple(_notes(log, games, findings)),
        staff=staff,
    )


def _notes(log: Coded, games: int, findings: list[Finding]) -> list[str]:
    notes = []
    if len(log) < FEWEST_PITCHES:
        notes.append(f"{len(log)} pitches are too few to ask anything of.")
    elif games < 2:
        notes.append("One game: counts only, no verdict.")
    if log.by_call.any():
        notes.append("Read from the calls that were charted, not from where the ball went.")
    if findings and games > 1:
        unit = "games" if games >= 8 else "at-bats (too few games to go by games)"
        notes.append(f"Intervals come from drawing {unit} again.")
    return notes
