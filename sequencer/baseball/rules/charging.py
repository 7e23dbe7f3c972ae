"""Who is charged when a hitter or a pitcher is changed in the middle of an at-bat."""

from collections.abc import Sequence
from itertools import pairwise
from typing import Final, NamedTuple

from sequencer.baseball.count import Count

#: A reliever who comes in on these counts does not own the walk.
_WALK_STAYS: Final = frozenset({Count(2, 0), Count(2, 1), Count(3, 0), Count(3, 1), Count(3, 2)})


class Stint(NamedTuple):
    """One person's part in an at-bat: who, and the count he came in on."""

    who: str
    count: Count  # type: ignore[assignment]  # the tuple method of this name is never wanted


class Charged(NamedTuple):
    """Whose an at-bat is in the records."""

    hitter: str
    pitcher: str


def charged_to(
    end: str,
    hitters: Sequence[Stint],
    pitchers: Sequence[Stint],
    *,
    inherited_count: str = "official",
) -> Charged:
    """Say to whom an at-bat is charged.

    A strikeout finished by a substitute belongs to whoever had two strikes (Official Baseball
    Rules 9.15(b)); a walk given by a reliever who came in on 2-0, 2-1 or three balls belongs to
    the pitcher before him (9.16(h)). Both from memory: check your league's copy.

    Parameters
    ----------
    end : str
        How the at-bat ended (`count.after`), or the play.
    hitters, pitchers : sequence of Stint
        In order, the first with the count the at-bat began on; at least one each.
    inherited_count : str
        As in `RuleSet`: "official", or "who ends it".
    """
    hitter, pitcher = hitters[-1].who, pitchers[-1].who
    if inherited_count != "official":
        return Charged(hitter, pitcher)
    if end == "strikeout":
        hitter = _had_two_strikes(hitters)
    if end in {"walk", "intentional walk"}:
        pitcher = _owns_walk(pitchers)
    return Charged(hitter, pitcher)


def _had_two_strikes(hitters: Sequence[Stint]) -> str:
    owner = hitters[-1]
    for before, now in reversed(list(pairwise(hitters))):
        if now.count.strikes < 2:
            break
        owner = before
    return owner.who


def _owns_walk(pitchers: Sequence[Stint]) -> str:
    owner = pitchers[-1]
    for before, now in reversed(list(pairwise(pitchers))):
        if now.count not in _WALK_STAYS:
            break
        owner = before
    return owner.who
