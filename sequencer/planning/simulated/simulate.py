"""A plan, and what coaches do by hand, against hitters of several minds.

Chance comes in twice: who the hitters really are (drawn from what is believed of them) and what
their dugout has seen (a log drawn from the pitcher's way). Given both every mind is a policy, and
its runs are exact. All ways and minds meet the same draws, so that their differences are known
better than they themselves are; and each drawn hitter comes with his mirror image about what is
believed, which takes five sixths off the error of as many drawn alone (antithetic variates,
Hammersley and Morton 1956; measured).
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from sequencer.errors import BadInput
from sequencer.estimates.hitter import HitterBelief, fast_belief_of, habit_of
from sequencer.estimates.league import League
from sequencer.planning.arrays import Floats
from sequencer.planning.context import game_for
from sequencer.planning.factored import FactoredGame
from sequencer.planning.mix import Card, mix_of
from sequencer.planning.plan import Plan
from sequencer.planning.simulated import opponents
from sequencer.planning.simulated.by_hand import (
    NO_PAST,
    Past,
    fastball_away,
    favourite,
    league_mix,
    past_mix,
)
from sequencer.planning.simulated.faced import Faced
from sequencer.planning.simulated.opponents import (
    BEST_REPLY,
    GUESSES,
    OPPONENTS,
    READS,
    Watched,
    unlearned,
    watch,
)
from sequencer.planning.simulated.sampler import Pitching, play
from sequencer.planning.simulated.simulation import Simulation

PLAN: Final = "the plan"
CARD: Final = "the six-row card"
SHARED: Final = "the shared cards"
AWAY: Final = "fastball first and away"
FAVOURITE: Final = "favourite by count"
PAST: Final = "his own past mix"
LEAGUE: Final = "the league's mix"
#: What coaches do by hand.
BY_HAND: Final = (AWAY, FAVOURITE, PAST, LEAGUE)
GAMES: Final = 8
#: Pitches of the pitcher that a dugout has charted: three or four of his outings (assumption).
WATCHED: Final = 300
#: An at-bat that is played for a log has more pitches than this on average (fewer are logged).
_FEWEST_A_TIME_UP: Final = 2.5


def simulate(
    plan: Plan,
    past: Past = NO_PAST,
    *,
    games: int = GAMES,
    watched: int = WATCHED,
    seed: int = 0,
    shared: Sequence[Card] = (),
) -> Simulation:
    """Play a plan, its card and what coaches do by hand against hitters of several minds.

    Parameters
    ----------
    plan : Plan
    past : Past
        What the pitcher has been asked for; nothing, and his own past mix is the league's.
    games : int
        Each draws the hitters and the logs anew.
    watched : int
        Pitches that their dugout has charted before the game.
    seed : int
        The same seed gives the same simulation.
    shared : sequence of Card
        A card for each hitter to be played as well: what the catcher's page has him on.

    Raises
    ------
    BadInput
        For fewer than two games, or a log without pitches.
    """
    if games < 2 or watched < 1:
        raise BadInput("Play two games or more, and let their dugout watch a pitch or more.")
    ways = _ways(plan, past, shared)
    scene = _Scene(plan, tuple(ways.values()), watched, seed)
    found = [scene.game(game) for game in range(games)]
    drawn, believed = (np.stack(runs) for runs in zip(*found, strict=True))
    return Simulation(
        plan.pitcher,
        plan.level,
        plan.trust,
        tuple(one.hitter for one in plan.hitters),
        tuple(ways),
        tuple(OPPONENTS),
        drawn,
        believed,
        plan.solved.guarantee[:, 0, 0, 0],
        len(past),
        watched,
        seed,
    )


def drawn(
    hitter: HitterBelief, league: League, rng: np.random.Generator
) -> tuple[HitterBelief, HitterBelief]:
    """Return a hitter as he may be, and his mirror image about what is believed of him.

    Traits are drawn from the belief; habits follow from them.
    """
    moved = np.linalg.cholesky(hitter.cov) @ rng.standard_normal(len(hitter.mean))
    return _with(hitter, hitter.mean + moved, league), _with(hitter, hitter.mean - moved, league)


def _with(hitter: HitterBelief, mean: Floats, league: League) -> HitterBelief:
    take = habit_of(mean, league.take_share)
    fast = fast_belief_of(mean, league.fast_share)
    return replace(hitter, mean=mean, take_share=take, fast_belief=fast)


def _ways(plan: Plan, past: Past, shared: Sequence[Card]) -> dict[str, Floats]:
    """Return every way of pitching as a mix, (hitters, 4, 3, lasts, calls)."""
    tables, given = plan.solved.tables, plan.given
    zone, lasts = given.around.level.zone, len(tables.lasts)
    ways = {
        PLAN: plan.solved.mix,
        CARD: mix_of([one.card for one in plan.hitters], lasts),
        AWAY: fastball_away(tables, given.pitcher),
        FAVOURITE: favourite(plan.solved),
        PAST: past_mix(tables, past, given.league, zone),
        LEAGUE: league_mix(tables, given.league, zone),
    }
    if shared:
        ways[SHARED] = mix_of(shared, lasts)
    return ways


class _Scene:
    """A plan's hitters, the ways of pitching to them, and what is the same in every game."""

    def __init__(self, plan: Plan, ways: tuple[Floats, ...], watched: int, seed: int) -> None:
        self.given, self.tables, self.ways = plan.given, plan.solved.tables, ways
        self.watched, self.seed = watched, seed
        self.believed = self.tables.game()
        self.faced = Faced.of(self.believed, *ways)
        self.pitching = Pitching.of(self.believed, opponents.habit(self.believed))
        zone = self.given.around.level.zone
        self.usual = league_mix(self.tables, self.given.league, zone)[0, :, :, 0].reshape(12, -1)
        self.bats = tuple(hitter.bats for hitter in self.given.hitters)

    def game(self, number: int) -> tuple[Floats, Floats]:
        """Play a game: (ways, minds, hitters) runs of drawn hitters, and of those believed in.

        After the drawn hitters come their mirror images.
        """
        chance = np.random.default_rng((self.seed, number))
        given = self.given
        pairs = [drawn(one, given.league, chance) for one in given.hitters]
        men = (*(one for one, _ in pairs), *(image for _, image in pairs))
        seen = [self._watch(mix, number) for mix in self.ways]
        real = game_for(men, given.pitcher, given.league, given.around).game()
        faced = Faced.of(real, *(_for(men, mix) for mix in self.ways))
        return (
            self._runs(real, faced, men, seen),
            self._runs(self.believed, self.faced, given.hitters, seen),
        )

    def _watch(self, mix: Floats, number: int) -> Watched:
        """Let their dugout chart a way of pitching to the line-up, who hit by habit."""
        times = int(np.ceil(self.watched / _FEWEST_A_TIME_UP)) + len(self.bats)
        up = np.arange(times) % len(self.bats)
        chance = np.random.default_rng((self.seed, number, 1))
        log = play(self.pitching, mix, up, chance).first(self.watched)
        return watch(log, self.tables, self.bats, self.usual)

    def _runs(
        self,
        game: FactoredGame,
        faced: Faced,
        men: tuple[HitterBelief, ...],
        seen: Sequence[Watched],
    ) -> Floats:
        """(ways, minds, hitters): runs from 0-0."""
        ways, lasts = len(self.ways), game.sizes[1]
        read = Faced.of(game, *(_for(men, one.read) for one in seen))
        policies = {
            BEST_REPLY: faced.reply(),
            READS: read.reply(),
            GUESSES: np.concatenate([one.guesses(men, lasts) for one in seen]),
            **{
                name: np.tile(policy, (ways, 1, 1, 1))
                for name, policy in unlearned(game, men).items()
            },
        }
        worth = faced.worth(np.stack([policies[mind] for mind in OPPONENTS]))[..., 0, 0, 0]
        runs: Floats = worth.reshape(len(OPPONENTS), ways, len(men)).swapaxes(0, 1)
        return runs


def _for(men: Sequence[HitterBelief], mix: Floats) -> Floats:
    """Return a mix against a line-up for men who are it once or several times over."""
    return np.concatenate([mix] * (len(men) // len(mix)))
