"""What pitches were worth on their way by plans: the pitcher's own miss, the looks of his plan.

A plan's game is worked out once more with every place of the plane as a call of its own. Where it
is read in between, what a plan adds to the level's usual hitter is smooth, and only that is
interpolated: the edge of the called zone is not.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Final, cast

import numpy as np
from scipy import sparse

from sequencer.baseball.hands import same_side
from sequencer.baseball.pitches import FAMILIES
from sequencer.planning.arrays import Floats
from sequencer.planning.beliefs import FAST, NODES, SOFT
from sequencer.planning.calls import Call
from sequencer.planning.families import FamilyGame, Parts
from sequencer.planning.looks import KINDS, PARTS, columns
from sequencer.planning.plan import Plan
from sequencer.planning.throws import REACH_U, REACH_V, SPACING, FamilyThrows, plane, weights
from sequencer.review.came_to import state_runs
from sequencer.review.coded import Coded
from sequencer.review.level_prices import level_values
from sequencer.review.place_runs import ASKED, PlaceRuns, league_runs, places_with
from sequencer.review.prices import SIDES, Values, pitches_of

if TYPE_CHECKING:
    import pandas as pd

#: The nodes of the plane across and up; its last four lie far off.
_ACROSS: Final = np.arange(-REACH_U, REACH_U + SPACING / 2, SPACING)
_UP: Final = np.arange(REACH_V[0], REACH_V[1] + SPACING / 2, SPACING)
_FAR: Final = 4
#: Where the pure take and protecting swings stand among the parts of a look.
TAKE: Final = 0
PROTECT: Final = slice(
    1 + NODES * next(n for n, (ready, _) in enumerate(KINDS) if ready == "protect"), PARTS
)
#: Games whose every place is held at a time: both sides to pitchers of either hand; 55 MB each.
_HELD: Final = 4


def ledger_values(frame: "pd.DataFrame", log: Coded, plans: Iterable[Plan]) -> Values:
    """Return what every pitch of a log was worth on its way.

    Parameters
    ----------
    frame : DataFrame
        The log `log` was coded from.
    log : Coded
    plans : iterable of Plan
        At most one for each pitcher, with a usual hitter of each side; what the pitch before
        showed is left out. Pitches of others, and to hitters of unknown side, go by their level's
        own tables.

    Returns
    -------
    Values
    """
    pitches, everywhere = pitches_of(frame, log), Everywhere()
    values = level_values(pitches)
    for plan in plans:
        if plan.pitcher not in log.words.pitchers:
            continue
        his = log.pitcher == log.words.pitchers.index(plan.pitcher)
        for side, bats in enumerate(SIDES):
            own = np.flatnonzero(his & (pitches.bats == side))
            if len(own) and bats in (hitter.bats for hitter in plan.given.hitters):
                pitches.fill(values, own, PlanPrices.of(plan, bats, everywhere))
                values.by_plan[own] = True
    return values


class Everywhere:
    """What a pitch of each family comes to at every node of the plane, for hitters of plans.

    It does not hang on the pitcher but for his hand: what is worked out for one plan serves others.
    """

    def __init__(self) -> None:
        self._held: dict[tuple[object, ...], Parts] = {}

    def parts(self, plan: Plan, hitter: int) -> Parts:
        """Return the parts of one hitter's game whose calls are the nodes, family by family."""
        given, stakes = plan.given, plan.solved.tables.stakes
        man = given.hitters[hitter]
        same = float(same_side(given.pitcher.throws, man.bats))
        key = (
            *(id(given.league), man.mean.tobytes(), same, given.around.level.name),
            *(given.around.assumed, repr(stakes)),
        )
        if key not in self._held:
            if len(self._held) >= _HELD:
                self._held.clear()
            self._held[key] = self._worked_out(plan, hitter, same)
        return self._held[key]

    @staticmethod
    def _worked_out(plan: Plan, hitter: int, same: float) -> Parts:
        given, nodes = plan.given, plane().u.size
        parts = Parts.empty(1, 1, nodes * len(FAMILIES))
        # sparse, it multiplies as an array does and a good deal faster
        each = cast(Floats, sparse.eye(nodes, format="csr"))
        for f, family in enumerate(FAMILIES):
            members = np.arange(nodes) + f * nodes
            game = FamilyGame(
                given.league,
                FamilyThrows(family, members, each, same),
                plan.solved.tables.stakes,
                given.around.level.zone,
                np.zeros(1),
                given.around.assumed,
            )
            game.filled([given.hitters[hitter]], np.zeros(1, dtype=np.intp), parts)
        return parts


@dataclass(frozen=True, eq=False)
class PlanPrices:
    """Prices of one pitcher's plan against its usual hitter of one side.

    Attributes
    ----------
    plan : Plan
    bats : str
    states : ndarray, shape (states,)
        Runs of what a pitch can lead to: counts as the plan values them.
    nodes : mapping of family -> ndarray, shape (nodes, 12)
        Expected runs of what follows a pitch at each node of the plane.
    takes : ndarray, shape (4, 3)
        Share of pitches this hitter takes whatever comes.
    protects : tuple of bool
        Whether he mostly protects, of the others, in each of the 12 counts.
    """

    plan: Plan
    bats: str
    states: Floats
    nodes: Mapping[str, Floats]
    takes: Floats
    protects: tuple[bool, ...]
    _asked: dict[str, Floats] = field(default_factory=dict)
    _places: dict[str, PlaceRuns] = field(default_factory=dict)

    @classmethod
    def of(cls, plan: Plan, bats: str, everywhere: Everywhere | None = None) -> "PlanPrices":
        """Work out the prices of a plan against the first of its hitters who hits from a side."""
        hitter = [man.bats for man in plan.given.hitters].index(bats)
        values = plan.solved.value[hitter, :, :, 0]
        parts = (everywhere or Everywhere()).parts(plan, hitter)
        runs, takes, protects = _everywhere(plan, hitter, values, parts)
        return cls(
            plan, bats, state_runs(values.ravel(), plan.given.around.level.runs_per_game),
            dict(zip(FAMILIES, np.split(runs, len(FAMILIES)), strict=True)), takes, protects,
        )  # fmt: skip

    def place(self, family: str) -> PlaceRuns:
        """Return the tables of a family."""
        if family not in self._places:
            league, runs = self.plan.given.league, self._at_asked(family)
            self._places[family] = places_with(league, family, self._same, runs)
        return self._places[family]

    def call(self, pitch: str, target: str) -> Floats | None:
        """Return the expected runs of a call, (12,); None for a pitch that is not in the plan."""
        given = self.plan.given
        if pitch not in (one.pitch for one in given.pitcher.arsenal):
            return None
        runs = self.nodes.get(given.pitcher.seen_as(pitch))
        if runs is None:
            return None
        call, zone = Call(pitch, target), given.around.level.zone
        found: Floats = (weights((call,), given.pitcher.pitch(pitch), zone, self.bats) @ runs)[0]
        return found

    @property
    def _same(self) -> float:
        return float(same_side(self.plan.given.pitcher.throws, self.bats))

    def _at_asked(self, family: str) -> Floats:
        """(asked, asked, 12): runs by place; of an unknown family, as often as each is thrown."""
        league = self.plan.given.league
        if family not in FAMILIES:
            shares = league.pitch_share.reshape(len(FAMILIES), 12)
            tables = (self._at_asked(known) for known in FAMILIES)
            mixed: Floats = sum(
                (share * table for share, table in zip(shares, tables, strict=True)), np.zeros(12)
            )
            return mixed
        if family not in self._asked:
            usual, at_nodes = (
                league_runs(
                    league, family, self._same, where, self.states, self.takes, self.protects
                )
                for where in ((ASKED, ASKED), (_ACROSS, _UP))
            )
            more = self.nodes[family][:-_FAR].reshape(at_nodes.shape) - at_nodes
            self._asked[family] = usual + _TO_V @ np.tensordot(_TO_U, more, 1)
        return self._asked[family]


def _between(nodes: Floats) -> Floats:
    """Return what reads values at nodes straight between them at `ASKED`, (asked, nodes)."""
    return np.stack([np.interp(ASKED, nodes, one) for one in np.eye(nodes.size)], axis=1)


_TO_U: Final = _between(_ACROSS)
_TO_V: Final = _between(_UP)


def _everywhere(
    plan: Plan, hitter: int, values: Floats, parts: Parts
) -> tuple[Floats, Floats, tuple[bool, ...]]:
    """Return runs at every node, (nodes of all families, 12), takes and protects of `PlanPrices`.

    values : (4, 3) runs of counts.
    """
    solved, calls = plan.solved, parts.runs.shape[3]
    own = solved.tables.game().of(hitter)
    nothing = np.zeros(calls, dtype=np.intp)
    sides = np.repeat([FAST if family == "fast" else SOFT for family in FAMILIES], plane().u.size)
    factors = replace(own.factors, parts=parts, sides=sides, kinds=nothing[None])
    game = replace(
        own,
        next_last=nothing,
        habit=None,
        trust=np.zeros(1),
        allowed=np.ones((1, calls), dtype=np.bool_),
        factors=factors,
        ruled=np.zeros((1, 12, calls)),
    )
    then, at = game.blank_values(), columns(game.looks)
    then[0, :4, :3, 0] = values
    runs, parts_of, looks = np.empty((calls, 12)), np.empty((12, PARTS)), _looks(plan, hitter)
    for balls, strikes in np.ndindex(4, 3):
        count = 3 * balls + strikes
        weighed = factors.weigh(looks[None, count][:, None], count, at)
        runs[:, count] = factors.by_call(game.whole_terms(then, balls, strikes), weighed)[0, 0]
        parts_of[count] = weighed[FAST, 0, 0]
    takes = parts_of[:, TAKE]
    protects = 2.0 * parts_of[:, PROTECT].sum(axis=1) > 1.0 - takes
    return runs, takes.reshape(4, 3), tuple(protects.tolist())


def _looks(plan: Plan, hitter: int) -> Floats:
    """(12, looks): what he brings, by habit as often as the plan trusts in it, else his best."""
    solved = plan.solved
    trust = solved.trust[hitter]
    best, habit = (
        looks[hitter, :, :, 0].reshape(12, -1) for looks in (solved.looks, solved.tables.habit)
    )
    mix: Floats = (1.0 - trust) * best + trust * habit
    return mix
