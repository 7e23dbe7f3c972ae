"""Was it cured? What the pitches since say of the habits that were found before.

Two exact tests settle it. The habit is going away when its share since is lower than before
(Fisher, one-sided); it is still there when its share since is above the usual one (binomial,
one-sided). Where a habit that is gone for good could not have been told from it, or neither test
says anything, there are too few pitches to say.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from sequencer.baseball import pitches
from sequencer.review.coded import HEIGHTS, SIDES, Coded
from sequencer.review.findings import Finding
from sequencer.review.question import Facts
from sequencer.review.says import condition, of_100
from sequencer.review.statistics import fisher_exact, wilson

Mask = NDArray[np.bool_]
Looking = Callable[[Coded, str], tuple[list[Finding], dict[str, float]]]
Verdict = Literal["going away", "going away, not yet gone", "still there", "too few pitches to say"]
#: Chance of "still there" where the habit is gone. Common practice, no source.
LEVEL: Final = 0.05
#: Level of "going away". Habits are picked for standing out and fall back a little of themselves:
#: at .05 7 in 100 that had not changed were told as going away (simulated), at this 3.
LOWER_LEVEL: Final = 0.025
#: Games before, from which on habits are told at all.
FEWEST_GAMES: Final = 2


@dataclass(frozen=True)
class FollowUp:
    """One habit found before, and what it has come to.

    Attributes
    ----------
    finding : Finding
        As the games before show it.
    split : str
        What parts before from since, in words.
    count, pitches : int
        Since: of `pitches` that meet its condition `count` were `what`.
    interval : (float, float)
        95 % interval of the share since (by pitch).
    lower_p, above_p : float
        That the share since is this much lower than before, and this much above the usual one.
    verdict : str
    """

    finding: Finding
    split: str
    count: int
    pitches: int
    interval: tuple[float, float]
    lower_p: float
    above_p: float
    verdict: Verdict
    says: str

    def as_json(self) -> dict[str, object]:
        """Return plain values."""
        finding = self.finding
        return {
            "pattern": finding.pattern.id,
            "where": dict(finding.contrast.condition.where),
            "what": dict(finding.contrast.what),
            "split": self.split,
            "before": {"pitches": finding.pitches, "share": finding.share},
            "since": {
                "pitches": self.pitches,
                "share": self.count / self.pitches if self.pitches else None,
                "interval": list(self.interval),
            },
            "expected_share": finding.expected_share,
            "lower_p": self.lower_p,
            "above_p": self.above_p,
            "verdict": self.verdict,
            "says": self.says,
        }


def follow_up(
    log: Coded, since: Mask, look: Looking, *, name: str, split: str, staff: bool = False
) -> tuple[FollowUp, ...]:
    """Follow up the habits found in the pitches before.

    Parameters
    ----------
    log : Coded
        One pitcher's pitches, or one caller's.
    since : ndarray, shape (pitches,)
        True for the pitches after the fix.
    look : callable
        (coded log, name) -> what `findings.look_for` returns.
    name : str
    split : str
        What parts before from since, in words: a day, or "the last game".

    Returns
    -------
    tuple of FollowUp
        Empty when there are fewer than two games before, or no habit in them to change.
    """
    before, after = log.only(~since), log.only(since)
    if not len(after) or len(np.unique(before.game)) < FEWEST_GAMES:
        return ()
    found, _ = look(before, f"{name}/before")
    return tuple(
        _followed(each, after, split, staff)
        for each in found
        if each.flagged and not (each.same_as or each.right or each.pattern.of_days)
    )


def _followed(finding: Finding, after: Coded, split: str, staff: bool) -> FollowUp:
    inside = np.isin(finding.pattern.classes(after), finding.contrast.condition.members)
    inside &= after.label(finding.pattern.label) >= 0
    count, size = int((inside & is_what(finding.contrast.what, after)).sum()), int(inside.sum())
    verdict, lower, above = settled(
        (round(finding.count), finding.pitches), (count, size), finding.expected_share
    )
    says = (
        f"{_habit(finding, staff)}: {finding.count:.0f} of {finding.pitches} before, {count} of "
        f"{size} since (usual {of_100(finding.expected_share)}): {verdict}."
    )
    return FollowUp(finding, split, count, size, wilson(count, size), lower, above, verdict, says)


def settled(
    before: tuple[int, int], since: tuple[int, int], usual: float
) -> tuple[Verdict, float, float]:
    """Return the verdict, and the p-values of "lower than before" and "above the usual".

    Parameters
    ----------
    before, since : (int, int)
        How many times, of how many pitches.
    usual : float
        Share there would be without the habit.
    """
    from scipy.special import bdtrc

    lower = _lower(before, since)
    above = float(bdtrc(since[0] - 1, since[1], usual)) if since[0] else 1.0
    if lower <= LOWER_LEVEL:
        return "going away" if above > LEVEL else "going away, not yet gone", lower, above
    could_tell = _lower(before, (round(usual * since[1]), since[1])) <= LOWER_LEVEL
    return (
        "still there" if above <= LEVEL and could_tell else "too few pitches to say",
        lower,
        above,
    )


def _lower(before: tuple[int, int], since: tuple[int, int]) -> float:
    """Return Fisher's p that the share since is this much lower, all margins held."""
    table = [[before[0], before[1] - before[0]], [since[0], since[1] - since[0]]]
    return fisher_exact(table)[0]


def is_what(what: Facts, log: Coded) -> Mask:
    """Return which pitches are what a finding speaks of, (pitches,)."""
    if "repeat" in what:
        return np.asarray((log.pitch == log.previous) == what["repeat"])
    if "side" in what:
        return np.asarray(log.side == SIDES.index(str(what["side"])))
    if "height" in what:
        return np.asarray(log.height == HEIGHTS.index(str(what["height"])))
    words = {what["pitch"]} if "pitch" in what else _of_family(str(what["family"]))
    codes = [code for code, word in enumerate(pitches.TYPES) if word in words]
    return np.isin(log.pitch, codes)


def _of_family(family: str) -> set[str]:
    return {word for word, of in pitches.TYPES.items() if of == family}


def _habit(finding: Finding, staff: bool) -> str:
    who = "it" if finding.pattern.label != "pitch" else "the staff" if staff else "he"
    return f"{condition(finding, staff=staff)} {who} {finding.contrast.does}"
