"""The whole review: every pitcher, every caller and catcher, the ledger, as one value."""

import zlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING, Final, Literal

import numpy as np
from numpy.typing import NDArray

from sequencer.estimates.next_pitch import Outsider
from sequencer.review.asked import Seen, asked
from sequencer.review.by_hitter import differing
from sequencer.review.coded import Coded, Codes, Label, Whose, encode
from sequencer.review.effect import GAMES_FROM
from sequencer.review.enough import needed
from sequencer.review.findings import Finding, look_for
from sequencer.review.fixes import fix
from sequencer.review.follow_up import FEWEST_GAMES, follow_up
from sequencer.review.habit_worth import drawn_by, habit_worth
from sequencer.review.ledger import ledger_of, totals
from sequencer.review.mixes import mixes
from sequencer.review.patterns import PATTERNS, caller, catcher
from sequencer.review.plans import Plans, asked_share, is_right
from sequencer.review.prices import Values
from sequencer.review.question import FEWEST_PITCHES, Held, Pattern
from sequencer.review.reader import FEWEST_SCORED, Reader, read
from sequencer.review.reviewed import Habit, Of, Review, Reviewed
from sequencer.review.side_by_side import work_through
from sequencer.review.tells import TellNote, tells_of
from sequencer.review.turning_points import turning_points
from sequencer.review.worth import Called, Stakes, worth

if TYPE_CHECKING:
    import datetime as dt

    import pandas as pd

EMPTY: Final = "There are no pitches of our own in this log."
EMPTY_THEIRS: Final = "There are no pitches to our own hitters in this log (pitching: them)."
#: Catchers are told apart from this many pitches on: of as many a habit of half the pitches, under
#: a condition that a fifth of them meets, would be found (`statistics.smallest_found`).
ENOUGH_CAUGHT: Final = 70
#: Pitcher -> the solved game behind his plan and his calls in it.
AllStakes = Mapping[str, tuple[Stakes, Called]]
#: What every pitch of a log was worth on its way.
Priced = Callable[["pd.DataFrame", Coded], Values]
#: Who is not asked about himself, and what is held in place where pitchers differ.
_LEFT_OUT: Final[Mapping[Of, tuple[Pattern, ...]]] = {
    "pitcher": (),
    "caller": (caller.PATTERN,),
    "catcher": (catcher.PATTERN,),
}
_ALSO_HELD: Final[Mapping[Of, tuple[Held, ...]]] = {
    "pitcher": (),
    "caller": ("pitcher",),
    "catcher": ("pitcher",),
}


#: Pitches held against those before: of everyone's last game, or as told pitch by pitch.
Since = Literal["last game"] | NDArray[np.bool_] | None


@dataclass(frozen=True)
class _Asking:
    """All that is the same for everyone reviewed."""

    seen: Seen
    since: Since
    split: str
    plans: Plans | None
    stakes: AllStakes
    seed: int
    whose: Whose
    outsiders: Mapping[str, Outsider]
    workers: int


def review(
    frame: "pd.DataFrame",
    *,
    plans: Plans | None = None,
    stakes: AllStakes | None = None,
    values: Priced | None = None,
    pens: "pd.DataFrame | None" = None,
    notes: Sequence[TellNote] | None = None,
    seed: int = 0,
    whose: Whose = "us",
    since_fix: "dt.date | Literal['last game'] | None" = None,
    outsiders: Mapping[str, Outsider] | None = None,
    workers: int = 1,
) -> Review:
    """Review a pitch log.

    Parameters
    ----------
    frame : DataFrame
        Columns of the pitch log. Not changed.
    plans : callable, optional
        (pitcher, hitter, balls, strikes, shown before) -> the plan's shares of (pitch, target);
        what it asks for is told as right. See `plans.Plans`.
    stakes : mapping, optional
        The solved game of each pitcher and his calls in it, for what a reader would gain in runs.
    values : callable, optional
        (frame, coded log) -> what every pitch was worth on its way, for the ledger; by the level's
        own tables when not given. Such as `reports.ledger_values` from plans.
    pens : DataFrame, optional
        Bullpens, whose throws may have been watched for tells.
    notes : sequence of TellNote, optional
        What observers noted of tells beside the log.
    seed : int
        The same log and seed give the same review, whoever else is in it.
    whose : {"us", "them"}
        Our own pitches, or those thrown to our hitters: of these there is no plan and no ledger,
        but what their pitchers usually throw.
    since_fix : date or "last game", optional
        Follow up the habits of the games before this day, or before each one's last game.
    outsiders : mapping, optional
        Further minds of the reader of a pitcher, such as `estimates.boosted.OUTSIDER`.
    workers : int
        Processes that share the work; the review is the same.

    Returns
    -------
    Review
    """
    log = encode(frame, whose)
    if not len(log):
        return Review(0, says=EMPTY if whose == "us" else EMPTY_THEIRS)
    asking = _Asking(
        seen=Seen.of(frame.iloc[log.row]),
        since=_since(frame, log, since_fix),
        split="the last game" if since_fix == "last game" else str(since_fix),
        plans=plans,
        stakes=stakes or {},
        seed=seed,
        whose=whose,
        outsiders=outsiders or {},
        workers=workers,
    )
    pitchers = tuple(_each(log, log.pitcher, log.words.pitchers, asking, "pitcher"))
    if whose == "them":
        return Review(len(log), pitchers)
    ledger = ledger_of(frame, log, values(frame, log) if values else None)
    catchers = _each(log, log.catcher, log.words.catchers, asking, "catcher", ENOUGH_CAUGHT)
    return Review(
        pitches=len(log),
        pitchers=pitchers,
        callers=tuple(_each(log, log.caller, log.words.callers, asking, "caller")),
        catchers=tuple(catchers) if len(catchers) > 1 else (),
        tells=tells_of(frame, pens, notes, seed=seed),
        turning_points=tuple(turning_points(ledger, frame, log)),
        ledger=tuple(totals(ledger, frame, log)),
        by_plan=bool(ledger.by_plan.any()),
    )


def _since(
    frame: "pd.DataFrame", log: Coded, since_fix: "dt.date | Literal['last game'] | None"
) -> Since:
    """Return which pitches are held against those before; "last game" is left to each pitcher."""
    if since_fix is None or isinstance(since_fix, str):
        return since_fix
    import pandas as pd

    day = pd.to_datetime(frame["date"].iloc[log.row], errors="coerce")
    late: NDArray[np.bool_] = (day >= pd.Timestamp(since_fix)).to_numpy(dtype=bool)
    return late


def _each(
    log: Coded, who: Codes, names: tuple[str, ...], asking: _Asking, of: Of, fewest: int = 1
) -> list[Reviewed]:
    """Review everyone with pitches enough on his own, in the order they first appear."""
    order = np.argsort(who, kind="stable")
    starts = np.searchsorted(who[order], np.arange(len(names) + 1))
    enough = np.flatnonzero(np.diff(starts) >= fewest).tolist()

    def one(code: int) -> Reviewed:
        rows = order[starts[code] : starts[code + 1]]
        return _one(log.only(rows), rows, names[code], asking, of)

    return work_through(one, enough, asking.workers)


def _one(log: Coded, rows: Codes, name: str, asking: _Asking, of: Of) -> Reviewed:
    staff, plans = of != "pitcher", asking.plans
    hitters = differing(log, _ALSO_HELD[of])
    ask = partial(
        look_for,
        seed=asking.seed,
        patterns=tuple(each for each in PATTERNS if each not in _LEFT_OUT[of]),
        also_held=_ALSO_HELD[of],
    )

    def look(some: Coded, name: str) -> tuple[list[Finding], dict[str, float]]:
        found, could = ask(some, name=name, hitters=hitters if some is log else None)
        return [replace(each, right=is_right(each, share(each, some))) for each in found], could

    def share(finding: Finding, some: Coded) -> tuple[float, float] | None:
        return asked_share(finding, some, plans) if plans else None

    findings, could_find = look(log, name)
    rng = np.random.default_rng([asking.seed, zlib.crc32(name.encode()), 1])
    stakes, called = (None, None) if staff else asking.stakes.get(name, (None, None))
    reader = read(log, rng, None if staff else asking.outsiders)
    gain = worth(stakes, called, rng, drawn_by(log, called))

    def habit(finding: Finding) -> Habit:
        cost = habit_worth(finding, log, stakes, called, rng)
        if finding.right or asking.whose == "them":
            return Habit(finding, cost)
        aim = share(finding, log)
        return Habit(finding, cost, fix(finding, log, aim[0] if aim else None, staff=staff))

    habits = [
        habit(each)
        for each in findings
        if each.flagged and not each.same_as and not each.pattern.of_days
    ]
    late = _late(log, asking.since, rows)
    return Reviewed(
        name=name,
        pitches=len(log),
        games=len(np.unique(log.game)),
        findings=tuple(findings),
        could_find=could_find,
        reader=reader,
        worth=gain,
        habits=tuple(sorted(habits, key=lambda each: (-each.runs, -each.finding.gain))),
        needed=needed(findings, log, could_find, staff=staff),
        follow_up=()
        if late is None
        else follow_up(log, late, look, name=name, split=asking.split, staff=staff),
        asked=None if staff else asked(asking.seen.only(rows), log, plans),
        mixes=mixes(log) if asking.whose == "them" else (),
        notes=(
            *_notes(log, findings, None if isinstance(asking.since, str) else late),
            *_by_hitter(hitters, staff),
            *_minds(reader, asking, of),
        ),
        of=of,
    )


def _late(log: Coded, since: Since, rows: Codes) -> NDArray[np.bool_] | None:
    """Return which of someone's pitches are held against those before, None for no follow-up."""
    if since is None:
        return None
    if isinstance(since, str):
        return np.asarray(log.game == log.game[-1])
    return np.asarray(since[rows])


def _by_hitter(hitters: Mapping[Label, Codes], staff: bool) -> Iterator[str]:
    """Say that hitters are thrown different mixes, which are held beside all else."""
    if "pitch" in hitters:
        who = "is thrown" if staff else "he throws"
        yield f"What {who} goes by the hitter: habits are what comes on top of each one's own mix."


def _minds(reader: Reader, asking: _Asking, of: Of) -> Iterator[str]:
    """Say which minds a reader weighed that he does not weigh by himself."""
    if asking.outsiders and of == "pitcher" and reader.scored >= FEWEST_SCORED:
        yield f"The reader also weighed: {', '.join(asking.outsiders)}."


def _notes(log: Coded, findings: list[Finding], late: NDArray[np.bool_] | None) -> list[str]:
    notes, games = [], len(np.unique(log.game))
    if len(log) < FEWEST_PITCHES:
        notes.append(f"{len(log)} pitches are too few to ask anything of.")
    elif games < 2:
        notes.append("One game: counts only, no verdict.")
    if log.by_call.any():
        notes.append("Read from the calls that were charted, not from where the ball went.")
    if findings and games > 1:
        unit = "games" if games >= GAMES_FROM else "at-bats (too few games to go by games)"
        notes.append(f"Intervals come from drawing {unit} again.")
    if late is not None:
        notes += _nothing_to_follow(log, late)
    return notes


def _nothing_to_follow(log: Coded, late: NDArray[np.bool_]) -> list[str]:
    """Say why a fix cannot be followed up, where that is so."""
    if not late.any():
        return ["He has not pitched since the fix."]
    if len(np.unique(log.game[~late])) < FEWEST_GAMES:
        return ["Fewer than two games before the fix: there is nothing to hold it against."]
    return []
