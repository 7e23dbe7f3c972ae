"""What a rule for trust loses: `python -m tests.planning.trust_rule [--level 17-18] [--drawn 24]`.

Hitters are drawn from their level's spreads, so that their habit is known here; the book sees some
pitches of them, and the plan is made from what it makes of these, at several trusts. In a part r of
his at-bats a hitter brings his habit, in the others a best reply. The table holds runs per 100
plate appearances lost against the trust that would have been best at that r after so many pitches.
"""

import argparse
import sys
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from sequencer.estimates import command, hitter, league
from sequencer.estimates.arrays import Floats
from sequencer.estimates.hitter import HitterBelief
from sequencer.planning.at_bat import evaluate_tables
from sequencer.planning.context import context, game_for
from sequencer.planning.solved import solve
from sequencer.planning.trust import known
from sequencer.records.people import Person
from tests.estimates import simulated

SEEN: Final = (0, 30, 100, 300, 600)
TRUSTS: Final = (0.0, 0.15, 0.3, 0.45, 0.6, 0.75, 0.9)
PLAYS_HABIT: Final = (0.0, 0.5, 1.0)
#: Hitters solved at once.
BATCH: Final = 8
Rule = Callable[[Floats], Floats]
RULES: Final[dict[str, Rule]] = {
    "always 0": lambda k: 0.0 * k,
    "always .3": lambda k: 0.0 * k + 0.3,
    "always .5": lambda k: 0.0 * k + 0.5,
    "always .7": lambda k: 0.0 * k + 0.7,
    "known x .5": lambda k: 0.5 * k,
    "known x .9": lambda k: 0.9 * k,
    ".2 + known x .4": lambda k: 0.2 + 0.4 * k,
    ".2 + known x .7": lambda k: 0.2 + 0.7 * k,
    ".3 + known x .4": lambda k: 0.3 + 0.4 * k,
}


@dataclass(frozen=True, eq=False)
class Lost:
    """Runs per 100 plate appearances by habit and by best reply, (seen, trusts, drawn), and what
    was known of each habit, (seen, drawn)."""

    habit: Floats
    reply: Floats
    known: Floats

    def of(self, rule: Rule, r: float) -> Floats:
        """Runs lost by a rule, (seen,), against the best trust in hindsight."""
        runs = r * self.habit + (1.0 - r) * self.reply
        best = runs.mean(axis=2).min(axis=1)
        lost = np.empty(len(SEEN))
        for i, trust in enumerate(rule(self.known)):
            at = [np.interp(t, TRUSTS, runs[i, :, h]) for h, t in enumerate(trust)]
            lost[i] = float(np.mean(at)) - best[i]
        return lost


def drawn(level: str, n: int, seed: int) -> list[HitterBelief]:
    """Hitters of a level as they truly are."""
    rng, usual, at = np.random.default_rng(seed), hitter.average(level), league.load(level)
    men = []
    for _ in range(n):
        mean = rng.standard_normal(usual.mean.size) * hitter.spread(level)
        take = hitter.habit_of(mean, at.take_share)
        fast = hitter.fast_belief_of(mean, at.fast_share)
        men.append(replace(usual, mean=mean, take_share=take, fast_belief=fast))
    return men


def believed(man: HitterBelief, seen: int, seed: int) -> HitterBelief:
    """What the book makes of a hitter after so many pitches to him."""
    at = league.load(man.level)
    if not seen:
        return hitter.average(man.level)
    log = simulated.pitches(
        seen, level=man.level, hitter=man.mean, take_share=man.take_share, seed=seed, league=at
    )
    return hitter.believe(Person(id="h", team="", name="h", bats="R"), (), log, at)


def measured(level: str, n: int, seed: int = 1) -> Lost:
    """Make and value every plan."""
    men = drawn(level, n, seed)
    habit = np.empty((len(SEEN), len(TRUSTS), n))
    reply, sure = np.empty_like(habit), np.empty((len(SEEN), n))
    thrower, at = (
        command.average(level, arsenal=("fastball", "changeup", "curveball")),
        context(level),
    )
    at_level = league.load(level)
    for first in range(0, n, BATCH):
        here = slice(first, first + BATCH)
        true = game_for(men[here], thrower, at_level, at)
        for i, seen in enumerate(SEEN):
            beliefs = [believed(man, seen, seed + first + j) for j, man in enumerate(men[here])]
            sure[i, here] = [known(one) for one in beliefs]
            game = game_for(beliefs, thrower, at_level, at)
            for j, trust in enumerate(TRUSTS):
                mix = solve(game, trust).mix
                reply[i, j, here] = evaluate_tables(true.game(), mix).value[:, 0, 0, 0]
                own = evaluate_tables(true.game(), mix, true.habit).value
                habit[i, j, here] = own[:, 0, 0, 0]
    return Lost(100.0 * habit, 100.0 * reply, sure)


def main() -> None:
    """Print the table."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--level", default="17-18")
    words.add_argument("--drawn", type=int, default=24)
    said = words.parse_args()
    lost, say = measured(said.level, said.drawn), sys.stdout.write
    say(f"{said.level}, {said.drawn} hitters drawn\npitches seen       ")
    say("".join(f"{n:>6}" for n in SEEN) + "\nhabit known        ")
    say("".join(f"{k:6.2f}" for k in lost.known.mean(axis=1)) + "\n")
    for r in PLAYS_HABIT:
        runs = r * lost.habit + (1.0 - r) * lost.reply
        say(f"\nhabit in {r:g} of his at-bats: best trust ")
        say("  ".join(f"{TRUSTS[k]:.2f}" for k in runs.mean(axis=2).argmin(axis=1)) + "\n")
        for name, rule in RULES.items():
            say(f"  {name:17}" + "".join(f"{x:6.2f}" for x in lost.of(rule, r)) + "\n")
    say("\n                     worst of all    mean at .5\n")
    for name, rule in RULES.items():
        worst = max(float(lost.of(rule, r).max()) for r in PLAYS_HABIT)
        say(f"  {name:17}{worst:14.2f}{float(lost.of(rule, 0.5).mean()):14.2f}\n")


if __name__ == "__main__":
    main()
