"""How far runners really go on a ball in play, and what kind of outs balls in play become.

The usual moves of `situation` are what a bench assumes until told; here are the shares with which
runners take more. Shares counted here from Retrosheet 2016, 2019 and 2020 (`count_table.NOTICE`);
that they hold at other levels is an assumption.
"""

from functools import cache
from types import MappingProxyType
from typing import Final, NamedTuple

from sequencer.baseball.situation import Bases, Move, play_out, usual_moves

SOURCE: Final = "shares counted here from Retrosheet 2016, 2019 and 2020; other levels: assumption"

# By outs before the play. Sample sizes: singles 1,100 to 5,200 a share, doubles 1,600 to 2,200,
# outs 300 to 9,200.
_SECOND_SCORES_ON_SINGLE: Final = (0.43, 0.52, 0.80)
_FIRST_TO_THIRD: Final = (0.26, 0.28, 0.32)
#: The same once the runner ahead has drawn the throw home.
_FIRST_TO_THIRD_BEHIND: Final = (0.44, 0.42, 0.55)
_FIRST_SCORES_ON_DOUBLE: Final = (0.31, 0.34, 0.53)
_THIRD_SCORES_ON_OUT: Final = (0.34, 0.39)
#: The same with first taken and second open, where the throw goes to second (436 and 864 outs).
_THIRD_SCORES_BEHIND_FORCE: Final = (0.42, 0.48)
_SECOND_MOVES_ON_OUT: Final = (0.46, 0.43)
_FIRST_MOVES_ON_OUT: Final = (0.15, 0.15)
#: The same once the runner ahead has moved.
_FIRST_MOVES_BEHIND: Final = (0.32, 0.36)
_SECOND_SCORES_ON_ERROR: Final = (0.16, 0.28, 0.40)
_FIRST_TO_THIRD_ON_ERROR: Final = (0.23, 0.24, 0.31)
#: The hitter goes on to second, first base empty or the runner from it gone to third.
_HITTER_TO_SECOND_ON_ERROR: Final = (0.17, 0.21, 0.19)
_HITTER_TO_SECOND_BEHIND: Final = (0.46, 0.43, 0.42)

#: Shares of outs in play, fewer than two out: a double play with a runner on first, a sacrifice
#: fly with a runner on third, by outs.
DOUBLE_PLAY_SHARE: Final = (0.25, 0.26)
SACRIFICE_FLY_SHARE: Final = (0.26, 0.29)


class Chance(NamedTuple):
    """One way a play can go: its share, and every runner's move."""

    share: float
    moves: tuple[Move, ...]


class Result(NamedTuple):
    """One way a play can end: its share, and who is where; bases are empty with three out."""

    share: float
    bases: Bases
    outs: int
    runs: int


def results(play: str, bases: Bases, outs: int) -> tuple[Result, ...]:
    """Return how a play can end, shares summing to one; runners without names.

    Parameters
    ----------
    play : str
        One of `situation.ENDS`.
    bases, outs
        Before the play.

    Raises
    ------
    IllegalEntry
        If the play is unknown.
    """
    first, second, third = (str(base) if on else "" for base, on in enumerate(bases, 1))
    return _results(play, (first, second, third), outs)


@cache
def _results(play: str, bases: Bases, outs: int) -> tuple[Result, ...]:
    ends = [
        (share, play_out(bases, outs, moves, "b")) for share, moves in advances(play, bases, outs)
    ]
    return tuple(Result(share, end.bases, end.outs, end.runs) for share, end in ends)


def advances(play: str, bases: Bases, outs: int) -> tuple[Chance, ...]:
    """Return the ways runners go on a play, shares summing to one.

    Parameters
    ----------
    play : str
        One of `situation.ENDS`.
    bases, outs
        Before the play.

    Raises
    ------
    IllegalEntry
        If the play is unknown.
    """
    ways: list[tuple[float, dict[int, str]]] = [(1.0, {})]
    for base in (3, 2, 1, 0):
        if base == 0 or bases[base - 1]:
            ways = [
                (share * part, more)
                for share, taken in ways
                for part, more in _branch(play, base, outs, bases, taken)
            ]
    return tuple(
        Chance(share, usual_moves(play, bases, outs, _moves(taken))) for share, taken in ways
    )


def _moves(taken: dict[int, str]) -> tuple[Move, ...]:
    return tuple(Move(str(base) if base else "b", to, said=True) for base, to in taken.items())


def _branch(
    play: str, base: int, outs: int, bases: Bases, taken: dict[int, str]
) -> list[tuple[float, dict[int, str]]]:
    """Split on whether a runner (0: the hitter) takes more than is usual."""
    chance, to = _extra(play, base, outs, bases, taken)
    if not chance:
        return [(1.0, taken)]
    return [(1 - chance, taken), (chance, {**taken, base: to})]


def _extra(
    play: str, base: int, outs: int, bases: Bases, taken: dict[int, str]
) -> tuple[float, str]:
    """Return the share with which a runner takes more, and where to; 0 where he cannot."""
    behind = base + 1 in taken
    if play == "single" and base == 2:
        return _SECOND_SCORES_ON_SINGLE[outs], "home"
    if play == "single" and base == 1 and (behind or not bases[1]):
        return (_FIRST_TO_THIRD_BEHIND if behind else _FIRST_TO_THIRD)[outs], "3"
    if play == "double" and base == 1:
        return _FIRST_SCORES_ON_DOUBLE[outs], "home"
    if play == "error":
        return _extra_on_error(base, outs, bases, behind=behind)
    if play == "out" and outs < 2 and base:
        return _extra_on_out(base, outs, bases, behind=behind)
    return 0.0, ""


def _extra_on_out(base: int, outs: int, bases: Bases, *, behind: bool) -> tuple[float, str]:
    if base == 3:
        forced = bases[0] and not bases[1]
        return (_THIRD_SCORES_BEHIND_FORCE if forced else _THIRD_SCORES_ON_OUT)[outs], "home"
    if bases[base] and not behind:
        return 0.0, ""
    if base == 2:
        return _SECOND_MOVES_ON_OUT[outs], "3"
    return (_FIRST_MOVES_BEHIND if behind else _FIRST_MOVES_ON_OUT)[outs], "2"


def _extra_on_error(base: int, outs: int, bases: Bases, *, behind: bool) -> tuple[float, str]:
    if base == 2:
        return _SECOND_SCORES_ON_ERROR[outs], "home"
    if base == 3 or (bases[base] and not behind):
        return 0.0, ""
    if base == 1:
        return _FIRST_TO_THIRD_ON_ERROR[outs], "3"
    return (_HITTER_TO_SECOND_BEHIND if behind else _HITTER_TO_SECOND_ON_ERROR)[outs], "2"


def outs_in_play(bases: Bases, outs: int) -> MappingProxyType[str, float]:
    """Split an out in play into out, double play and sacrifice fly; shares sum to one."""
    double_play = DOUBLE_PLAY_SHARE[outs] if bases[0] and outs < 2 else 0.0
    fly = SACRIFICE_FLY_SHARE[outs] if bases[2] and outs < 2 else 0.0
    return MappingProxyType(
        {"out": 1 - double_play - fly, "double play": double_play, "sacrifice fly": fly}
    )
