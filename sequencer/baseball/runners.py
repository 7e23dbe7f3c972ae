"""Runners and outs: carrying moves out, and refusing what cannot be.

Bases are a tuple of three names, first to third, "" for an empty one. A `Move` takes one runner
somewhere; a runner without a move stays.
"""

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Final, NamedTuple

from sequencer.errors import IllegalEntry

Bases = tuple[str, str, str]
EMPTY: Final[Bases] = ("", "", "")

# Places by number: 0 the hitter, 1 to 3 the bases.
HOME: Final = 4
OUT: Final = -1
PLACES: Final = MappingProxyType({"1": 1, "2": 2, "3": 3, "home": HOME, "out": OUT})
WORDS: Final = MappingProxyType({place: word for word, place in PLACES.items()})
FROM: Final = MappingProxyType({"b": 0, "1": 1, "2": 2, "3": 3})
_SAID: Final = MappingProxyType(
    {0: "the hitter", 1: "first", 2: "second", 3: "third", HOME: "home"}
)

#: Events that put a runner out whatever base he was going for.
RUNNER_OUTS: Final = frozenset({"caught stealing", "pickoff", "out on bases"})


class Move(NamedTuple):
    """One runner's way: from ``b`` (the hitter), ``1``, ``2``, ``3`` to a base, home or out.

    `said` is True when a person said so, False when it is the usual way.
    """

    runner_from: str
    to: str
    said: bool = False


class Played(NamedTuple):
    """What a play led to.

    With three outs `bases` is empty and `left` names who was on base, or crossed the plate too
    late to count.
    """

    bases: Bases
    outs: int
    runs: int
    scored: tuple[str, ...]
    out: tuple[str, ...]
    left: tuple[str, ...]


def parse_moves(text: str) -> tuple[Move, ...]:
    """Read what was said of runners, such as ``1-3;2-home;b-2;3-out``.

    Raises
    ------
    IllegalEntry
        If a part is not runner-place, or a runner is named twice.
    """
    moves = tuple(_parse_move(part.strip()) for part in text.split(";") if part.strip())
    twice = [move for i, move in enumerate(moves) if _taken(moves[:i], move.runner_from)]
    if twice:
        raise IllegalEntry(f"'{text}' moves {_runner(twice[0].runner_from)} twice: say it once.")
    return moves


def _parse_move(part: str) -> Move:
    start, _, end = (word.strip() for word in part.partition("-"))
    if start not in FROM or end not in PLACES:
        raise IllegalEntry(
            f"'{part}' does not say where a runner went: write 1-3, 2-home, b-2 or 3-out."
        )
    return Move(start, end, said=True)


def _taken(moves: Iterable[Move], runner: str) -> bool:
    return any(move.runner_from == runner for move in moves)


def _runner(runner_from: str) -> str:
    return "the hitter" if runner_from == "b" else f"the runner from {_SAID[int(runner_from)]}"


def start_word(start: int) -> str:
    """Return ``b``, ``1``, ``2`` or ``3`` of a place by number."""
    return "b" if start == 0 else str(start)


def play_out(bases: Bases, outs: int, moves: Iterable[Move], batter: str = "") -> Played:
    """Carry moves out and say who is where.

    A run counts when the third out is made on the play only if a person said that the runner
    scored (he crossed the plate first); a run on a force or on a hitter put out at first should
    not be said. Official Baseball Rules 5.08(a).

    Parameters
    ----------
    bases, outs
        Before the play; outs 0 to 2.
    moves : iterable of Move
        As from `usual_moves`. Runners without a move stay; so does a hitter without one.
    batter : str
        The hitter's name or id.

    Raises
    ------
    IllegalEntry
        If a runner does not exist, goes back, passes another or stands on a taken base, or the
        play would make more than three outs.
    """
    if not 0 <= outs <= 2:
        raise IllegalEntry(f"A play cannot begin with {outs} out.")
    said = {FROM[move.runner_from]: move for move in moves}
    names = {0: batter, 1: bases[0], 2: bases[1], 3: bases[2]}
    ways = {base: base for base in (1, 2, 3) if names[base]}
    ways |= {start: PLACES[move.to] for start, move in said.items()}
    _check_ways(ways, names, outs)
    return _settle(ways, names, outs, frozenset(start for start, move in said.items() if move.said))


def _check_ways(ways: Mapping[int, int], names: Mapping[int, str], outs: int) -> None:
    ahead = HOME + 1
    ahead_from = 0
    for start in sorted(ways, reverse=True):
        end = ways[start]
        who = _runner(start_word(start))
        if not names[start]:
            raise IllegalEntry(f"There is no runner on {_SAID[start]}: check the bases.")
        if end == OUT:
            continue
        if end < start:
            raise IllegalEntry(f"{who.capitalize()} cannot go back to {_SAID[end]}.")
        if end > ahead or (end == ahead and end != HOME):
            word = "stand on the same base as" if end == ahead else "pass"
            raise IllegalEntry(
                f"{who.capitalize()} would {word} {_runner(start_word(ahead_from))}: "
                f"say where both went, the one in front first, such as {ahead_from}-home."
            )
        ahead, ahead_from = end, start
    if outs + sum(end == OUT for end in ways.values()) > 3:
        raise IllegalEntry(f"That would make more than three outs; there are {outs} already.")


def _settle(
    ways: Mapping[int, int], names: Mapping[int, str], outs: int, said: frozenset[int]
) -> Played:
    lead_first = sorted(ways, reverse=True)
    out = tuple(names[start] for start in lead_first if ways[start] == OUT)
    over = outs + len(out) == 3
    home = [start for start in lead_first if ways[start] == HOME]
    counted = [start for start in home if not over or start in said]
    after = ["", "", ""]
    for start in lead_first:
        if 1 <= ways[start] <= 3:
            after[ways[start] - 1] = names[start]
    left = [names[start] for start in home if start not in counted]
    if over:
        left += [name for name in reversed(after) if name]
        after = ["", "", ""]
    scored = tuple(names[start] for start in counted)
    bases = (after[0], after[1], after[2])
    return Played(bases, outs + len(out), len(scored), scored, out, tuple(left))


def move_runner(bases: Bases, outs: int, event: str, base_from: str, base_to: str = "") -> Played:
    """Carry out one runner's event between pitches: a steal, a wild pitch, a pickoff.

    `base_to` is the next base when empty; caught stealing, pickoff and out on bases put him out
    wherever he was going.

    Raises
    ------
    IllegalEntry
        If there is no such runner or he cannot go there.
    """
    if base_from not in {"1", "2", "3"}:
        raise IllegalEntry(f"'{base_from}' is not a base a runner can start from: use 1, 2 or 3.")
    end = "out" if event in RUNNER_OUTS else base_to or WORDS[int(base_from) + 1]
    if end not in PLACES:
        raise IllegalEntry(f"'{end}' is not where a runner can go: use 2, 3, home or out.")
    if end == base_from:
        raise IllegalEntry(
            f"The runner on {_SAID[int(base_from)]} has not moved: say where he went."
        )
    return play_out(bases, outs, (Move(base_from, end, said=True),))
