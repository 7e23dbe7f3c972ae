"""A review held against plans: the plan's shares, and the calls made in the plan's own game."""

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

import numpy as np

from sequencer.baseball.zone import TARGETS, target_uv
from sequencer.planning.calls import Call
from sequencer.planning.outcomes import Tables
from sequencer.planning.plan import Plan
from sequencer.review.coded import Coded, Codes, encode
from sequencer.review.plans import Mix, Plans, Shown
from sequencer.review.question import type_word
from sequencer.review.worth import Called, Stakes, payoffs

if TYPE_CHECKING:
    import pandas as pd


def shares_of(plans: Iterable[Plan]) -> Plans:
    """Return the shares of several plans as a review asks for them.

    Parameters
    ----------
    plans : iterable of Plan
        At most one for each pitcher.
    """
    by_pitcher = {plan.pitcher: plan for plan in plans}
    places = {
        name: {one.hitter: h for h, one in enumerate(plan.hitters)}
        for name, plan in by_pitcher.items()
    }

    def shares(pitcher: str, hitter: str, balls: int, strikes: int, shown: Shown) -> Mix | None:
        place = places.get(pitcher, {}).get(hitter)
        if place is None:
            return None
        solved = by_pitcher[pitcher].solved
        mix = solved.mix[place, balls, strikes, _last(solved.tables, shown)]
        return {
            (call.pitch, call.target): float(share)
            for call, share in zip(solved.tables.calls, mix, strict=True)
            if share > 0
        }

    return shares


def _last(tables: Tables, shown: Shown) -> int:
    """Return the place of what was shown among the plan's last pitches; 0 is nothing."""
    return 0 if shown is None else tables.last_of(Call(*shown))


def stakes_of(frame: "pd.DataFrame", plans: Iterable[Plan]) -> dict[str, tuple[Stakes, Called]]:
    """Return, for each planned pitcher, the solved game behind his plan and his calls in it.

    Only pitches whose type and target were asked for count, to hitters the plan has; a target
    the plan does not use counts as the nearest one it has for that pitch.

    Parameters
    ----------
    frame : DataFrame
        The log reviewed.
    plans : iterable of Plan
        At most one for each pitcher.
    """
    log = encode(frame)
    targets = _targets(frame, log)
    found = {}
    for plan in plans:
        called = _called(log, targets, plan)
        if called is not None:
            found[plan.pitcher] = (_stakes(plan), called)
    return found


def _stakes(plan: Plan) -> Stakes:
    solved, tables = plan.solved, plan.solved.tables
    runs = payoffs(
        tables.outcomes,
        tables.end_runs,
        tables.next_last,
        solved.value,
        walk=tables.stakes.walk,
        strikeout=tables.stakes.strikeout,
        hit_by_pitch=tables.stakes.hit_by_pitch,
        call_runs=tables.call_runs,
    )
    calls = tuple((call.pitch, call.target) for call in tables.calls)
    return Stakes(runs, solved.looks, solved.mix, calls)


def _targets(frame: "pd.DataFrame", log: Coded) -> list[str]:
    """Return the target of each coded pitch, "" where none was set before the result."""
    if "target" not in frame.columns:
        return [""] * len(log)
    words = frame["target"].fillna("").astype(str).to_numpy()[log.row]
    if "target_when" in frame.columns:
        late = frame["target_when"].fillna("").astype(str).to_numpy()[log.row] == "after"
        words = np.where(late, "", words)
    return [str(word) for word in words]


def _called(log: Coded, targets: list[str], plan: Plan) -> Called | None:
    """Return one pitcher's calls as places in the plan's tables."""
    hitters = {one.hitter: h for h, one in enumerate(plan.hitters)}
    nearest = _Nearest(plan.solved.tables.calls)
    call = np.full(len(log), -1, dtype=np.int64)
    hitter = np.full(len(log), -1, dtype=np.int64)
    for row in range(len(log)):
        pitcher, name = log.names(row)
        if pitcher == plan.pitcher and log.pitch[row] >= 0:
            call[row] = nearest(type_word(int(log.pitch[row])), targets[row])
            hitter[row] = hitters.get(name, -1)
    known = (call >= 0) & (hitter >= 0) & (log.count_group >= 0)
    if not known.any():
        return None
    last = _lasts(log, call, plan.solved.tables.next_last)
    columns = (hitter, log.balls, log.strikes, last, call, log.game, log.row)
    return Called(*(column[known] for column in columns))


def _lasts(log: Coded, call: Codes, next_last: Codes) -> Codes:
    """Return what the pitch before showed; 0, nothing, where it is not known."""
    same = log.at_bat[1:] == log.at_bat[:-1]
    shown = np.where(same & (call[:-1] >= 0), next_last[call[:-1]], 0)
    return np.concatenate(([0], shown)).astype(np.int64)


class _Nearest:
    """Finds the call of a pitch whose target is nearest to the one that was set."""

    def __init__(self, calls: tuple[Call, ...]) -> None:
        self._of_pitch: dict[str, list[int]] = {}
        for place, call in enumerate(calls):
            self._of_pitch.setdefault(call.pitch, []).append(place)
        self._at = np.array([target_uv(call.target) for call in calls])
        self._known: Mapping[str, tuple[float, float]] = {t: target_uv(t) for t in TARGETS}

    def __call__(self, pitch: str, target: str) -> int:
        """Return the call's place; -1 for a pitch without calls or a target not known."""
        places = self._of_pitch.get(pitch)
        if places is None or target not in self._known:
            return -1
        far = np.abs(self._at[places] - np.array(self._known[target])).sum(axis=1)
        return places[int(far.argmin())]
