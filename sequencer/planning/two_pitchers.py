"""Which of two pitchers for tonight: what each plan holds every hitter to, and how surely."""

from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from sequencer.errors import BadInput
from sequencer.planning.arrays import Floats
from sequencer.planning.context import free_game, under_rules
from sequencer.planning.plan import Plan
from sequencer.planning.sensitivity import Given, wilder
from sequencer.planning.solved import solve

#: Plate appearances that runs are told by.
PER: Final = 100.0


@dataclass(frozen=True, eq=False)
class TwoPitchers:
    """Two plans side by side; runs per 100 plate appearances to a hitter who knows the plan.

    Attributes
    ----------
    pitchers : (str, str)
    hitters : tuple of str
    runs : array (2, hitters)
        What each plan guarantees.
    surer, wilder : array (2, hitters)
        The same if each spreads by one posterior standard deviation less, or more, than believed.
    """

    pitchers: tuple[str, str]
    hitters: tuple[str, ...]
    runs: Floats
    surer: Floats
    wilder: Floats

    @property
    def saved(self) -> Floats:
        """(hitters,): runs the first saves over the second."""
        return np.asarray(self.runs[1] - self.runs[0], dtype=float)

    @property
    def doubt(self) -> Floats:
        """(hitters,): half of how far the difference moves with what is not known of either."""
        half = np.abs(self.wilder - self.surer) / 2.0
        return np.asarray(np.sqrt((half**2).sum(axis=0)), dtype=float)

    @property
    def line_up(self) -> tuple[float, float]:
        """Runs the first saves over the second against the line-up, and the doubt about it."""
        half = np.abs((self.wilder - self.surer).mean(axis=1)) / 2.0
        return float(self.saved.mean()), float(np.sqrt((half**2).sum()))

    @property
    def says(self) -> str:
        """Who for tonight, in one sentence."""
        saved, doubt = self.line_up
        first, second = self.pitchers if saved >= 0.0 else self.pitchers[::-1]
        if abs(saved) < doubt:
            return (
                f"{first} or {second}: not to be told apart by what is known ({abs(saved):.1f} "
                f"runs in 100 plate appearances, give or take {doubt:.1f})."
            )
        return (
            f"{first} saves {abs(saved):.1f} runs in 100 plate appearances over {second} against "
            f"this line-up (give or take {doubt:.1f})."
        )

    def as_json(self) -> dict[str, Any]:
        """Return plain values; runs are per 100 plate appearances."""
        saved, doubt = self.line_up
        return {
            "pitchers": list(self.pitchers),
            "says": self.says,
            "saved": saved,
            "doubt": doubt,
            "hitters": [
                {
                    "hitter": name,
                    "runs": self.runs[:, i].tolist(),
                    "saved": float(self.saved[i]),
                    "doubt": float(self.doubt[i]),
                }
                for i, name in enumerate(self.hitters)
            ],
        }


def two_pitchers(one: Plan, other: Plan) -> TwoPitchers:
    """Hold two plans for the same hitters against each other.

    Raises
    ------
    BadInput
        If they are for other hitters.
    """
    names = tuple(hitter.hitter for hitter in one.hitters)
    if names != tuple(hitter.hitter for hitter in other.hitters):
        raise BadInput("The two plans are for other hitters: make them for one line-up.")
    plans = (one, other)
    return TwoPitchers(
        (one.pitcher, other.pitcher),
        names,
        PER * np.array([[hitter.value for hitter in plan.hitters] for plan in plans]),
        PER * np.array([_values(plan, -1.0) for plan in plans]),
        PER * np.array([_values(plan, 1.0) for plan in plans]),
    )


def _values(plan: Plan, sds: float) -> Floats:
    """Return what each hitter is held to, (hitters,), if the pitcher spreads so much more."""
    given: Given = plan.given
    solved, thrower = plan.solved, wilder(given.pitcher, sds)
    calls = solved.tables.calls
    free = free_game(given.hitters, thrower, given.league, given.around, calls)
    again = solve(under_rules(free, given.hitters, given.around), solved.trust, solved)
    return np.asarray(again.guarantee[:, 0, 0, 0], dtype=float)
