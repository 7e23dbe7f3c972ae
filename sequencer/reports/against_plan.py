"""A review held against plans: the plan's shares, and the calls made in the plan's own game."""

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

import numpy as np

from sequencer.baseball.zone import TARGETS, target_uv
from sequencer.planning.calls import Call
from sequencer.planning.plan import Plan
from sequencer.review.coded import Coded, Codes, encode
from sequencer.review.placing import Spelled, spelled
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
    held = {plan.pitcher: _Shares(plan) for plan in plans}

    def shares(pitcher: str, hitter: str, balls: int, strikes: int, shown: Shown) -> Mix | None:
        one = held.get(pitcher)
        return one.mix(hitter, balls, strikes, shown) if one else None

    return shares


class _Shares:
    """The shares of one plan; what was asked once is kept, since a review asks the same often."""

    def __init__(self, plan: Plan) -> None:
        self._solved = plan.solved
        self._places = {one.hitter: h for h, one in enumerate(plan.hitters)}
        self._lasts: dict[Shown, int] = {None: 0}
        self._mixes: dict[tuple[int, int, int, int], Mix] = {}

    def mix(self, hitter: str, balls: int, strikes: int, shown: Shown) -> Mix | None:
        """Return the share of every call, None for a hitter the plan does not have."""
        place = self._places.get(hitter)
        if place is None:
            return None
        at = place, balls, strikes, self._last(shown)
        if at not in self._mixes:
            calls = zip(self._solved.tables.calls, self._solved.mix[at].tolist(), strict=True)
            self._mixes[at] = {
                (call.pitch, call.target): share for call, share in calls if share > 0
            }
        return self._mixes[at]

    def _last(self, shown: Shown) -> int:
        """Return the place of what was shown among the plan's last pitches; 0 is nothing."""
        if shown is not None and shown not in self._lasts:
            self._lasts[shown] = self._solved.tables.last_of(Call(*shown))
        return self._lasts[shown]


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
    own = _by_pitcher(log)
    found = {}
    for plan in plans:
        rows = own.get(plan.pitcher)
        called = None if rows is None else _called(log.only(rows), targets.only(rows), plan)
        if called is not None:
            found[plan.pitcher] = (_stakes(plan), called)
    return found


def _by_pitcher(log: Coded) -> dict[str, Codes]:
    """Return the rows of everyone of a name, in order."""
    name = Spelled.of(log.words.pitchers, log.pitcher).code if log.words.pitchers else log.pitcher
    order = np.argsort(name, kind="stable")
    order = order[log.pitcher[order] >= 0]
    cuts = np.flatnonzero(np.diff(name[order])) + 1
    parts = np.split(order, cuts) if len(order) else []
    return {log.names(int(rows[0]))[0]: rows for rows in parts}


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


def _targets(frame: "pd.DataFrame", log: Coded) -> Spelled:
    """Return the target of each coded pitch, "" where none was set before the result."""
    late = spelled(frame, "target_when").isin(["after"])
    return spelled(frame, "target").blank(late).only(log.row)


def _called(log: Coded, targets: Spelled, plan: Plan) -> Called | None:
    """Return one pitcher's calls as places in the plan's tables."""
    call = _calls(log, targets, plan.solved.tables.calls)
    places = {one.hitter: h for h, one in enumerate(plan.hitters)}
    # the last of them is of a hitter who is not known
    hitter = np.array([*(places.get(name, -1) for name in log.words.hitters), -1])[log.hitter]
    known = (call >= 0) & (hitter >= 0) & (log.count_group >= 0)
    if not known.any():
        return None
    last = _lasts(log, call, plan.solved.tables.next_last)
    columns = (hitter, log.balls, log.strikes, last, call, log.game, log.row)
    return Called(*(column[known] for column in columns))


def _calls(log: Coded, targets: Spelled, calls: tuple[Call, ...]) -> Codes:
    """Return the call nearest to each pitch's type and target, -1 for none, (pitches,)."""
    nearest, words = _Nearest(calls), targets.words.tolist()
    kinds, kind = np.unique(log.pitch * len(words) + targets.code, return_inverse=True)
    pairs = (divmod(int(one), len(words)) for one in kinds)
    found = [nearest(type_word(p), words[t]) if p >= 0 else -1 for p, t in pairs]
    return np.array(found, dtype=np.int64)[kind]


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
