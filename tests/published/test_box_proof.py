"""Proving a box score, on whole games that somebody else scored.

The rule: Official Baseball Rules, section on the official scorer, 9.03(c) (its number from memory):
a box score is proved when one side's at-bats, walks, hit batters, sacrifice bunts and flies and
awards of first base for interference or obstruction add up to its runs, its players left on base
and the other side's putouts. The same sum in a scorer's guide: baseballscorecard.com, "After the
game" (seen): runs, left on base and the opponents' putouts against at-bats, walks, sacrifices, hit
batters and awards of first base.

The games: play by play of three professional seasons (tests.records.open_games). The information
used here was obtained free of charge from and is copyrighted by Retrosheet. Interested parties may
contact Retrosheet at www.retrosheet.org.
"""

import pytest

from sequencer.records.box import Box, box
from tests.records.open_games import MISSING, Replayed, games, replayed

pytestmark = pytest.mark.skipif(bool(MISSING), reason=MISSING)

#: First games of stretches in each of the three seasons, the last with runners placed on second.
STRETCHES = (0, 2400, 5300)


@pytest.fixture(scope="module")
def played() -> list[Replayed]:
    """A few games of each season."""
    return [replayed(rows) for first in STRETCHES for rows in games(first, 12)]


def test_replay_finds_every_count_out_base_score_and_half_of_games_scored_by_others(
    played: list[Replayed],
) -> None:
    assert len(played) > 30 and sum(game.pitches for game in played) > 9_000
    assert [part for game in played for part in game.parts] == []
    assert sum(game.counts_said for game in played) == 0


def test_a_result_s_key_alone_puts_most_runners_where_they_went(played: list[Replayed]) -> None:
    alone = sum(n for game in played for (_, way), n in game.ways.items() if way == "key alone")
    assert alone > 0.9 * sum(game.ways.total() for game in played)


def test_the_box_of_every_game_proves_by_the_rule_as_written(played: list[Replayed]) -> None:
    for game in played:
        assert by_the_rule(box(game.state), placed=len(game.state.by_rule)), game.state.log[-1]


def by_the_rule(found: Box, placed: int) -> bool:
    """Add up as the rule says; runners placed by rule count as having come."""
    lines = found.sides.values()
    ended = sum(line.left_on_base + line.on_base for line in lines)
    came = sum(
        line.at_bats + line.walks + line.hit_by_pitch + line.sacrifices + line.awards
        for line in found.hitters.values()
    )
    runs = sum(line.runs for line in lines)
    return came + placed == runs + ended + sum(line.outs for line in found.pitchers.values())
