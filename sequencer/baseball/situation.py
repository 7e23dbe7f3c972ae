"""Situations: where everyone goes on a play by custom, what a play needs, and the next half.

The usual moves are what a bench would assume; what was said of single runners comes first, and the
others are kept in order around it. Bases, moves and carrying them out are in `runners`.
"""

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Final, NamedTuple

from sequencer.baseball.runners import (
    EMPTY,
    FROM,
    HOME,
    OUT,
    PLACES,
    RUNNER_OUTS,
    WORDS,
    Bases,
    Move,
    Played,
    move_runner,
    parse_moves,
    play_out,
    start_word,
)
from sequencer.errors import IllegalEntry

#: Bases every runner moves up with the hitter.
_HITS: Final = MappingProxyType({"single": 1, "double": 2, "triple": 3, "home run": 4})
#: The hitter is given first and only forced runners move.
_GIVEN: Final = frozenset({"walk", "intentional walk", "hit by pitch", "catcher's interference"})
#: Outs a play makes before anything was said of single runners.
_OUTS_OF: Final = MappingProxyType(
    {
        "strikeout": 1,
        "out": 1,
        "sacrifice bunt": 1,
        "sacrifice fly": 1,
        "fielder's choice": 1,
        "double play": 2,
        "triple play": 3,
    }
)
#: Runners a play needs, and the most outs it can begin with.
_NEEDS: Final = MappingProxyType(
    {
        "double play": (1, 1),
        "triple play": (2, 0),
        "sacrifice bunt": (1, 1),
        "sacrifice fly": (1, 1),
        "fielder's choice": (1, 2),
    }
)
#: Every play or end of an at-bat that moves somebody.
ENDS: Final = (*_HITS, *sorted(_GIVEN), *_OUTS_OF, "error")


class Half(NamedTuple):
    """One half of an inning; `half` is top or bottom."""

    inning: int
    half: str


def next_half(inning: int, half: str) -> Half:
    """Return the half that follows; there is always a next one (rules say when a game is over)."""
    return Half(inning, "bottom") if half == "top" else Half(inning + 1, "top")


def check_play(play: str, bases: Bases, outs: int) -> None:
    """Refuse a play that needs runners or outs that are not there.

    Raises
    ------
    IllegalEntry
        For a double play with the bases empty, a sacrifice with two outs, and the like.
    """
    if play not in _NEEDS:
        return
    runners, most_outs = _NEEDS[play]
    if outs > most_outs:
        raise IllegalEntry(f"A {play} cannot be made with {outs} out: call it an out.")
    if sum(map(bool, bases)) < runners:
        word = "a runner" if runners == 1 else "two runners"
        raise IllegalEntry(f"A {play} needs {word} on base: put the runners right, or call it out.")


def may_run(bases: Bases, outs: int) -> bool:
    """Whether a dropped third strike lets the hitter run: first base empty, or two outs.

    Official Baseball Rules 5.05(a)(2).
    """
    return not bases[0] or outs == 2


def usual_moves(
    play: str,
    bases: Bases,
    outs: int,
    said: Iterable[Move] = (),
    *,
    dropped: bool = False,
) -> tuple[Move, ...]:
    """Return every runner's move on a play, the hitter's included; who stays has none.

    Parameters
    ----------
    play : str
        A play in play, or how the at-bat ended: one of `ENDS`.
    bases : Bases
        Who is on base before the play.
    outs : int
        0 to 2, before the play.
    said : iterable of Move
        What was said of single runners; it comes first, and the others keep in order around it.
    dropped : bool
        For a strikeout: the third strike was dropped, the league lets him run, and he was not
        thrown out. He reaches first when `may_run` says so.

    Raises
    ------
    IllegalEntry
        If the play is unknown.
    """
    overrides = {FROM[move.runner_from]: PLACES[move.to] for move in said}
    ways = _usual_ways(play, bases, outs, overrides, dropped=dropped)
    ways = _in_order({**ways, **overrides}, frozenset(overrides), bases)
    return tuple(
        Move(start_word(start), WORDS[end], said=start in overrides)
        for start, end in sorted(ways.items())
        if end != start or start in overrides
    )


def _usual_ways(
    play: str, bases: Bases, outs: int, said: Mapping[int, int], *, dropped: bool
) -> dict[int, int]:
    """Where everybody goes by custom, by number: 0 the hitter, 1-3 runners, 4 home, -1 out."""
    if play in _HITS:
        return _advanced(bases, _HITS[play], hitter_to=_HITS[play])
    if play in _GIVEN or (play == "strikeout" and dropped and may_run(bases, outs)):
        return _forced(bases, hitter_to=1)
    if play == "error":
        return _advanced(bases, 1, hitter_to=1)
    if play not in _OUTS_OF:
        raise IllegalEntry(f"'{play}' is not a play: use one of {', '.join(ENDS)}.")
    return _with_outs(play, bases, outs, said)


def _with_outs(play: str, bases: Bases, outs: int, said: Mapping[int, int]) -> dict[int, int]:
    """Ways of a play that makes outs; outs that were said take the place of the usual ones."""
    if play == "sacrifice fly":
        others = {3: HOME} if bases[2] else {}
    elif play == "fielder's choice":
        others = _forced(bases, hitter_to=1)
    elif play in {"strikeout", "out", "triple play"} or outs + _OUTS_OF[play] >= 3:
        others = {}
    else:
        others = _advanced(bases, 1, hitter_to=1)
    # Where the one out is the hitter's own, a runner put out on the play is one more.
    own = _first_out(play, bases) == [0]
    said_out = 0 if own else sum(end == OUT for end in said.values())
    free = [start for start in _first_out(play, bases) if start not in said]
    chosen = free[: max(0, _OUTS_OF[play] - said_out)]
    return others | dict.fromkeys(chosen, OUT)


def _first_out(play: str, bases: Bases) -> list[int]:
    """Who is out first by custom, 0 being the hitter."""
    on = [base for base in (1, 2, 3) if bases[base - 1]]
    lead_or_first = [1] if bases[0] else on[-1:]
    if play == "fielder's choice":
        return lead_or_first
    if play == "double play":
        return [0, *lead_or_first]
    if play == "triple play":
        return [0, *on]
    return [0]


def _advanced(bases: Bases, by: int, *, hitter_to: int) -> dict[int, int]:
    on = {base: min(base + by, HOME) for base in (1, 2, 3) if bases[base - 1]}
    return {0: hitter_to, **on}


def _forced(bases: Bases, *, hitter_to: int) -> dict[int, int]:
    ways = {0: hitter_to}
    for base in (1, 2, 3):
        if not bases[base - 1]:
            break
        ways[base] = base + 1
    return ways


def _in_order(ways: dict[int, int], said: frozenset[int], bases: Bases) -> dict[int, int]:
    """Hold usual runners behind one said to stop ahead; push them on before one said to come."""
    if not said:
        return ways
    for base in (1, 2, 3):
        if bases[base - 1]:
            ways.setdefault(base, base)
    fixed = said | {0}
    ceiling = HOME + 1
    for start in sorted(ways, reverse=True):
        if start not in fixed and ways[start] >= ceiling:
            ways[start] = max(ceiling - 1, start)
        if 0 <= ways[start] < HOME:
            ceiling = ways[start]
    floor = 0
    for start in sorted(ways):
        if start not in fixed and ways[start] != OUT and ways[start] <= floor:
            ways[start] = min(floor + 1, HOME)
        if ways[start] != OUT:
            floor = ways[start]
    return ways


__all__ = [
    "EMPTY",
    "ENDS",
    "RUNNER_OUTS",
    "Bases",
    "Half",
    "Move",
    "Played",
    "check_play",
    "may_run",
    "move_runner",
    "next_half",
    "parse_moves",
    "play_out",
    "usual_moves",
]
