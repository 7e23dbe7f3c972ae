"""Runners, outs and halves: where everyone goes on a play, and whether that can be.

Bases are a tuple of three names, first to third, "" for an empty one. A `Move` takes one runner
somewhere; a runner without a move stays. The usual moves are what a bench would assume; what was
said of single runners comes first, and the others are kept in order around it.
"""

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Final, NamedTuple

from sequencer.errors import IllegalEntry

Bases = tuple[str, str, str]
EMPTY: Final[Bases] = ("", "", "")

_HOME: Final = 4
_OUT: Final = -1
_PLACES: Final = MappingProxyType({"1": 1, "2": 2, "3": 3, "home": _HOME, "out": _OUT})
_WORDS: Final = MappingProxyType({place: word for word, place in _PLACES.items()})
_FROM: Final = MappingProxyType({"b": 0, "1": 1, "2": 2, "3": 3})
_SAID: Final = MappingProxyType(
    {0: "the hitter", 1: "first", 2: "second", 3: "third", _HOME: "home"}
)

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


class Half(NamedTuple):
    """One half of an inning; `half` is top or bottom."""

    inning: int
    half: str


def next_half(inning: int, half: str) -> Half:
    """Return the half that follows; there is always a next one (rules say when a game is over)."""
    return Half(inning, "bottom") if half == "top" else Half(inning + 1, "top")


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
    if start not in _FROM or end not in _PLACES:
        raise IllegalEntry(
            f"'{part}' does not say where a runner went: write 1-3, 2-home, b-2 or 3-out."
        )
    return Move(start, end, said=True)


def _taken(moves: Iterable[Move], runner: str) -> bool:
    return any(move.runner_from == runner for move in moves)


def _runner(runner_from: str) -> str:
    return "the hitter" if runner_from == "b" else f"the runner from {_SAID[int(runner_from)]}"


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
    overrides = {_FROM[move.runner_from]: _PLACES[move.to] for move in said}
    ways = _usual_ways(play, bases, outs, overrides, dropped=dropped)
    ways = _in_order({**ways, **overrides}, frozenset(overrides), bases)
    return tuple(
        Move(_start_word(start), _WORDS[end], said=start in overrides)
        for start, end in sorted(ways.items())
        if end != start or start in overrides
    )


def _start_word(start: int) -> str:
    return "b" if start == 0 else str(start)


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
        others = {3: _HOME} if bases[2] else {}
    elif play == "fielder's choice":
        others = _forced(bases, hitter_to=1)
    elif play in {"strikeout", "out", "triple play"} or outs + _OUTS_OF[play] >= 3:
        others = {}
    else:
        others = _advanced(bases, 1, hitter_to=1)
    said_out = sum(end == _OUT for end in said.values())
    free = [start for start in _first_out(play, bases) if start not in said]
    chosen = free[: max(0, _OUTS_OF[play] - said_out)]
    return others | dict.fromkeys(chosen, _OUT)


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
    on = {base: min(base + by, _HOME) for base in (1, 2, 3) if bases[base - 1]}
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
    ceiling = _HOME + 1
    for start in sorted(ways, reverse=True):
        if start not in fixed and ways[start] >= ceiling:
            ways[start] = max(ceiling - 1, start)
        if 0 <= ways[start] < _HOME:
            ceiling = ways[start]
    floor = 0
    for start in sorted(ways):
        if start not in fixed and ways[start] != _OUT and ways[start] <= floor:
            ways[start] = min(floor + 1, _HOME)
        if ways[start] != _OUT:
            floor = ways[start]
    return ways


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
    said = {_FROM[move.runner_from]: move for move in moves}
    names = {0: batter, 1: bases[0], 2: bases[1], 3: bases[2]}
    ways = {base: base for base in (1, 2, 3) if names[base]}
    ways |= {start: _PLACES[move.to] for start, move in said.items()}
    _check_ways(ways, names, outs)
    return _settle(ways, names, outs, frozenset(start for start, move in said.items() if move.said))


def _check_ways(ways: Mapping[int, int], names: Mapping[int, str], outs: int) -> None:
    ahead = _HOME + 1
    ahead_from = 0
    for start in sorted(ways, reverse=True):
        end = ways[start]
        who = _runner(_start_word(start))
        if not names[start]:
            raise IllegalEntry(f"There is no runner on {_SAID[start]}: check the bases.")
        if end == _OUT:
            continue
        if end < start:
            raise IllegalEntry(f"{who.capitalize()} cannot go back to {_SAID[end]}.")
        if end > ahead or (end == ahead and end != _HOME):
            word = "stand on the same base as" if end == ahead else "pass"
            raise IllegalEntry(
                f"{who.capitalize()} would {word} {_runner(_start_word(ahead_from))}: "
                f"say where both went, such as {ahead_from}-home."
            )
        ahead, ahead_from = end, start
    if outs + sum(end == _OUT for end in ways.values()) > 3:
        raise IllegalEntry(f"That would make more than three outs; there are {outs} already.")


def _settle(
    ways: Mapping[int, int], names: Mapping[int, str], outs: int, said: frozenset[int]
) -> Played:
    lead_first = sorted(ways, reverse=True)
    out = tuple(names[start] for start in lead_first if ways[start] == _OUT)
    over = outs + len(out) == 3
    home = [start for start in lead_first if ways[start] == _HOME]
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
    end = "out" if event in RUNNER_OUTS else base_to or _WORDS[int(base_from) + 1]
    if end not in _PLACES:
        raise IllegalEntry(f"'{end}' is not where a runner can go: use 2, 3, home or out.")
    if end == base_from:
        raise IllegalEntry(
            f"The runner on {_SAID[int(base_from)]} has not moved: say where he went."
        )
    return play_out(bases, outs, (Move(base_from, end, said=True),))
