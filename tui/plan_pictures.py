"""Where the calls of a plan would go: count by count, by how this pitcher misses."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from sequencer.baseball.levels import level as level_of
from sequencer.baseball.zone import (
    HALF_WIDTH_IN,
    Zone,
    away_sign,
    cell_of,
    centre_of,
    to_catcher,
)
from sequencer.estimates.pitcher import PitchBelief
from sequencer.planning.calls import Call
from sequencer.planning.plan import CountPlan, Plan
from sequencer.planning.throws import REACH_U, REACH_V, SPACING, plane, weights
from tui.picture_views import CALL_EDGES, Cell, Picture, PictureSet, Smooth, Spot, ZoneView
from tui.picturing import EVERY
from tui.shares import CELLS, edge_lines, named
from tui.smoothed import DENSE
from tui.smoothing import grid, ninth, steps

Floats = NDArray[np.float64]
Shares = Sequence[tuple[Call, float]]
_TOLD: Final = "Worked out from how he misses, not smoothed."


def plan_pictures(plan: Plan, hitter: int) -> PictureSet:
    """Return a picture for each count, of all calls and of those of each pitch.

    Parameters
    ----------
    plan : Plan
    hitter : int
        His place in the plan.
    """
    one = plan.hitters[hitter]
    arsenal = {pitch.pitch: pitch for pitch in plan.arsenal}
    calls = tuple(dict.fromkeys(call for here in one.counts.values() for call, _ in here.calls))
    throws = _Throws(calls, arsenal, level_of(plan.level).zone, one.bats)
    pictures = [
        _picture(str(count), kind, shares, throws)
        for count, here in one.counts.items()
        for kind, shares in _kinds(here)
    ]
    return PictureSet(f"{plan.pitcher} to {one.hitter} ({one.bats})", tuple(pictures))


def _kinds(here: CountPlan) -> list[tuple[str, Shares]]:
    """Return all calls of a count, then those of each pitch, each with shares of one."""
    names = dict.fromkeys(call.pitch for call, share in here.calls if share > 0.0)
    found: list[tuple[str, Shares]] = [(EVERY, here.calls)]
    for name in names if len(names) > 1 else ():
        own = [(call, share) for call, share in here.calls if call.pitch == name]
        whole = sum(share for _, share in own)
        found.append((name, [(call, share / whole) for call, share in own]))
    return found


@dataclass(frozen=True, eq=False)
class _Throws:
    """Where calls go by what is believed of his misses, and with the least and the most spread."""

    calls: tuple[Call, ...]
    arsenal: Mapping[str, PitchBelief]
    zone: Zone
    bats: str

    @cached_property
    def nodes(self) -> tuple[Floats, Floats, Floats]:
        """The chance of each node for every call, (calls, nodes): as believed, least, most."""
        made = [np.empty((len(self.calls), plane().u.size)) for _ in range(3)]
        for name in dict.fromkeys(call.pitch for call in self.calls):
            own = [i for i, call in enumerate(self.calls) if call.pitch == name]
            pitch = self.arsenal[name]
            low, high = pitch.spread_interval
            for chances, spread in zip(made, (pitch.spread, low, high), strict=True):
                as_if = replace(pitch, cov=pitch.cov * (spread / pitch.spread) ** 2)
                some = tuple(self.calls[i] for i in own)
                chances[own] = weights(some, as_if, self.zone, self.bats)
        return made[0], made[1], made[2]

    @cached_property
    def cell_of_node(self) -> Floats:
        """Which cell each node lies in, (nodes, cells), ones and noughts."""
        side, height = self._inches(plane().u, plane().v)
        places = [cell_of(x, y, self.zone) for x, y in zip(side, height, strict=True)]
        return np.array([[place == cell for cell in CELLS] for place in places], dtype=np.float64)

    def _inches(self, u: Floats, v: Floats) -> tuple[list[float], list[float]]:
        side = away_sign(self.bats) * u * HALF_WIDTH_IN
        height = self.zone.middle_in + v * self.zone.centre_half_height_in
        return side.tolist(), height.tolist()

    def mixed(self, shares: Shares, chances: Floats) -> Floats:
        """Return the chance of each node for calls with shares."""
        held = np.zeros(chances.shape[1])
        for call, share in shares:
            held += share * chances[self.calls.index(call)]
        return held

    def rows(self, chances: Floats) -> tuple[str, ...]:
        """Return the steps of shades on the fine grid, of 100 on a ninth of the zone."""
        across = round(2 * REACH_U / SPACING) + 1
        held = chances[:-4].reshape(across, -1)
        x, y = grid(self.zone)
        u = away_sign(self.bats) * x / HALF_WIDTH_IN
        v = (y - self.zone.middle_in) / self.zone.centre_half_height_in
        i, j = (u + REACH_U) / SPACING, (v - REACH_V[0]) / SPACING
        a, b = np.floor(i).astype(int), np.floor(j).astype(int)
        p, q = (i - a)[:, None], (j - b)[None, :]
        there = (
            (1 - p) * (1 - q) * held[np.ix_(a, b)]
            + p * (1 - q) * held[np.ix_(a + 1, b)]
            + (1 - p) * q * held[np.ix_(a, b + 1)]
            + p * q * held[np.ix_(a + 1, b + 1)]
        )
        node = SPACING**2 * HALF_WIDTH_IN * self.zone.centre_half_height_in
        return steps(100.0 * there.T * ninth(self.zone) / node, DENSE)


def _picture(count: str, kind: str, shares: Shares, throws: _Throws) -> Picture:
    asked = [(call, share) for call, share in shares if share >= 0.005]
    nodes = [throws.mixed(shares, chances) for chances in throws.nodes]
    here, least, most = (100.0 * held @ throws.cell_of_node for held in nodes)
    names = list(dict.fromkeys(call.pitch for call, _ in asked))
    parts = {
        name: 100.0
        * throws.mixed([one for one in shares if one[0].pitch == name], throws.nodes[0])
        @ throws.cell_of_node
        for name in names
    }
    cells, drawn = {}, {}
    for i, cell in enumerate(CELLS):
        low, high = sorted((least[i], most[i]))
        low, high = min(low, here[i]), max(high, here[i])
        by = ", ".join(f"{name} {part[i]:.0f}" for name, part in parts.items())
        cells[cell] = Cell(
            f"{named(cell, throws.bats)}: about {here[i]:.0f} of 100 {_pitches(kind)} at {count} "
            f"would cross here{f' ({by})' if len(parts) > 1 else ''}; {low:.0f} to {high:.0f} by "
            "how well his spread is known.",
            _TOLD,
        )
        step = int(np.searchsorted(CALL_EDGES, here[i], "right"))
        drawn[cell] = (step, f"{here[i]:.0f}" if here[i] >= 0.5 else "")
    view = ZoneView(throws.zone.top_in, throws.zone.bottom_in, throws.bats, cells=drawn)
    crosses = {centre_of(to_catcher(call.target, throws.bats), throws.zone) for call, _ in asked}
    smooth = Smooth(throws.rows(nodes[0]), ("of 100, on a ninth:", *edge_lines(DENSE)), _TOLD)
    with_crosses = replace(view, spots=tuple(Spot(*at, "+") for at in sorted(crosses)))
    legend = ("of 100 pitches:", *edge_lines(CALL_EDGES), "+ asked for")
    return Picture(
        count, kind, with_crosses, legend, " ".join(_rests_on(asked, throws)), cells, smooth
    )


def _pitches(kind: str) -> str:
    return "pitches" if kind == EVERY else f"{kind}s"


def _rests_on(asked: Shares, throws: _Throws) -> list[str]:
    said = ", ".join(f"{100 * share:.0f} {call}" for call, share in asked)
    misses = []
    for name in dict.fromkeys(call.pitch for call, _ in asked):
        pitch = throws.arsenal[name]
        low, high = pitch.spread_interval
        misses.append(
            f"{name} {pitch.spread:.1f} ({low:.1f} to {high:.1f}; {pitch.charted} charted)"
        )
    return [f"Calls: {said}.", f"Spread, inches: {', '.join(misses)}."]
