"""One pitcher as a page of 80 columns: what he throws, how well, and what cannot be known yet."""

from collections.abc import Iterable, Sequence
from functools import partial
from textwrap import wrap
from typing import Final

import numpy as np

from sequencer.baseball.hands import BOTH
from sequencer.estimates.pitcher import PitchBelief, PitcherBelief
from sequencer.estimates.platoon import FEWEST as FEWEST_TO_A_SIDE
from sequencer.estimates.platoon import Platoon
from sequencer.estimates.separable import TOLD, UNKNOWN, Pair, Separable
from sequencer.estimates.strikes import GROUPS, Strikes
from sequencer.reports.lines import WIDTH, indented

#: A bias is named when it is at least so many inches and surely not nought (assumption: less than a
#: ball and a half is nothing a pitcher can aim by).
BIAS_IN: Final = 2.0
_NUMBERS: Final = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
_HANDS: Final = {"R": "throws right", "L": "throws left", BOTH: "throws with both hands"}


def pitcher_text(
    belief: PitcherBelief,
    strikes: Sequence[Strikes] = (),
    apart: Separable | None = None,
    sides: Platoon | None = None,
    *,
    mark: float = 0.6,
) -> str:
    """Return the page of one pitcher.

    Parameters
    ----------
    belief : PitcherBelief
    strikes : sequence of Strikes
        Of his pitches; those not given are left out of the table by count.
    apart : Separable, optional
        Which of his pitches a hitter can tell apart.
    sides : Platoon, optional
        Right- against left-handed hitters.
    mark : float
        Strike share that a pitch should reach in any count.
    """
    title = f"{belief.name} ({_HANDS.get(belief.throws, 'hand unknown')}), {belief.level}"
    lines = [*wrap(title, WIDTH), "=" * min(len(title), WIDTH), ""]
    lines += _arsenal(belief, {one.pitch: one for one in strikes})
    lines += _section("Strikes in any count", _by_count(strikes, mark))
    lines += _section("Where he misses", _biases(belief.arsenal))
    lines += _section(_so_many(len(belief.arsenal)), _apart(belief, apart))
    lines += _section("Right- and left-handed hitters", _sides(sides))
    lines += _section("To be known", _said([*_unknown(belief), *belief.notes]))
    return "\n".join(line.rstrip() for line in lines)


def _section(title: str, lines: Sequence[str]) -> list[str]:
    return ["", title, *lines] if lines else []


def _said(sentences: Iterable[str]) -> list[str]:
    return indented(dict.fromkeys(sentences))


def _row(cells: Sequence[str], widths: Sequence[int]) -> str:
    return "  " + "".join(cell.ljust(width) for cell, width in zip(cells, widths, strict=True))


_TABLE: Final = (16, 20, 21, 9, 7, 5)


def _arsenal(belief: PitcherBelief, strikes: dict[str, Strikes]) -> list[str]:
    """Return a line for each pitch: strikes, misses, what they rest on."""
    lines = [
        _row(("pitch", "strikes in 100", "usual miss, inches", "charted", "thrown", "lost"), _TABLE)
    ]
    for pitch in belief.arsenal:
        factor = pitch.mean_miss / pitch.spread
        miss, *ends = (inches * factor for inches in (pitch.spread, *pitch.spread_interval))
        lines.append(
            _row(
                (
                    pitch.pitch,
                    _share(pitch.strike_share, pitch.strike_interval),
                    f"{miss:.0f} ({ends[0]:.0f} to {ends[1]:.0f})",
                    f"{pitch.charted}",
                    f"{pitch.thrown}",
                    f"{100 * pitch.lost:.0f}",
                ),
                _TABLE,
            )
        )
        if pitch.evidence:
            lines.append(f"    {pitch.evidence}" + (", shelved" if pitch.shelved else ""))
        pen = strikes[pitch.pitch].pen if pitch.pitch in strikes else None
        if pen is not None and pen.thrown:
            lines.append(f"    bullpen: {pen.strikes} strikes in {pen.thrown} throws with a call")
    return lines


def _share(mean: float, interval: tuple[float, float]) -> str:
    return f"{100 * mean:.0f} ({100 * interval[0]:.0f} to {100 * interval[1]:.0f})"


_COUNTS: Final = (16, 12, 12, 12, 12, 12)


def _by_count(strikes: Sequence[Strikes], mark: float) -> list[str]:
    """Return strikes in a hundred by count group, and the chance of the mark in all of them."""
    if not strikes:
        return []
    lines = [_row(("in 100", *GROUPS), _COUNTS)]
    for one in strikes:
        cells = [_brief(one.by_group[group].mean, one.by_group[group].interval) for group in GROUPS]
        lines.append(_row((one.pitch, *cells), _COUNTS))
    head = f"chances of {100 * mark:.0f} strikes in 100"
    lines += ["", _row((head, "in any count", "as counts go", "least sure"), _CHANCES)]
    for one in strikes:
        weak = min(GROUPS, key=partial(_surety, one, mark))
        chances = (one.chance_at_least(mark), one.chance_at_least(mark, allowing=True))
        where = weak if weak == "first pitch" else f"{weak} counts"
        lines.append(_row((one.pitch, *map(_chance, chances), where), _CHANCES))
    return lines + _said(["As counts go: what each count does to everyone is allowed for."])


def _surety(one: Strikes, mark: float, group: str) -> tuple[float, float]:
    """Return how sure the mark is in a group; among hopeless ones the share decides."""
    return round(one.chance_in(group, mark), 3), one.by_group[group].mean


_CHANCES: Final = (32, 15, 15, 18)


def _brief(mean: float, interval: tuple[float, float]) -> str:
    return f"{100 * mean:.0f} {100 * interval[0]:.0f}-{100 * interval[1]:.0f}"


def _chance(share: float) -> str:
    """Say a probability in a hundred without claiming that anything is impossible or certain."""
    if share < 0.01:
        return "under 1"
    return "over 99" if share > 0.99 else f"{100 * share:.0f}"


def _biases(arsenal: Sequence[PitchBelief]) -> list[str]:
    return _said(sentence for pitch in arsenal if (sentence := _bias(pitch)))


def _bias(pitch: PitchBelief) -> str:
    """Say where a pitch goes by itself, when that is sure: nought lies outside its ellipse."""
    if pitch.charted == 0 or pitch.bias_may_be(np.zeros(2)):
        return ""
    names = (("to the catcher's left", "to the catcher's right"), ("low", "high"))
    ways = [
        f"{abs(inches):.0f} inches {name[int(inches > 0)]}"
        for inches, name in zip(pitch.bias.tolist(), names, strict=True)
        if abs(inches) >= BIAS_IN
    ]
    return f"The {pitch.pitch} misses by {' and '.join(ways)} on average." if ways else ""


def _so_many(number: int) -> str:
    word = _NUMBERS[number] if number < len(_NUMBERS) else str(number)
    if number == 1:
        return "One pitch"
    return f"Are {word} pitches {word}?"


def _apart(belief: PitcherBelief, apart: Separable | None) -> list[str]:
    if len(belief.arsenal) == 1:
        return _said(["He throws one pitch: there is nothing to tell apart."])
    if apart is None:
        return []
    open_ = [pair for pair in apart.pairs if pair.verdict != TOLD]
    # When nothing is known the one sentence says it for every pair.
    if all(pair.verdict == UNKNOWN and pair.accuracy is None for pair in apart.pairs):
        open_ = []
    told = [(pair.accuracy, pair) for pair in apart.pairs if pair.accuracy and pair.verdict == TOLD]
    closest = [min(told, key=lambda one: one[0])[1]] if told else []
    return _said([apart.says, *belief.alike_notes(), *map(_pair, open_), *map(_pair, closest)])


def _pair(pair: Pair) -> str:
    named = ""
    if pair.accuracy is not None and pair.interval is not None:
        named = f", {_share(pair.accuracy, pair.interval)} of 100 named rightly"
    prefix = "Closest of those: " if pair.verdict == TOLD else ""
    why = f" ({pair.why})" if pair.why else ""
    return f"{prefix}{pair.first} and {pair.second}: {pair.verdict}{named}{why}."


def _sides(sides: Platoon | None) -> list[str]:
    if sides is None:
        return []
    right, left = sides.thrown.get("R", 0), sides.thrown.get("L", 0)
    if sides.sentences:
        return _said(sides.sentences)
    if min(right, left) < FEWEST_TO_A_SIDE:
        return _said(
            [
                f"Whether he differs cannot be known yet: {_pitches(right)} to right-handers, "
                f"{_pitches(left)} to left-handers."
            ]
        )
    return _said(
        [f"No difference that the pitches carry: {right} to right-handers, {left} to left-handers."]
    )


def _pitches(number: int) -> str:
    return "1 pitch" if number == 1 else f"{number} pitches"


def _unknown(belief: PitcherBelief) -> Iterable[str]:
    """Say what the table cannot carry yet."""
    bare = [pitch.pitch for pitch in belief.arsenal if pitch.charted == 0]
    unseen = [pitch.pitch for pitch in belief.arsenal if pitch.thrown == 0]
    if bare and len(bare) < len(belief.arsenal):
        yield f"Where he misses with the {_and(bare)} is the level's: no target is charted."
    if unseen:
        yield f"Strikes with the {_and(unseen)} are the level's: none is logged in a game."


def _and(words: Sequence[str]) -> str:
    return " and the ".join(words) if len(words) < 3 else ", the ".join(words)
