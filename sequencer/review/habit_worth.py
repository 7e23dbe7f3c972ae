"""What one habit is worth: runs a hitter would gain who knows this habit and the plan, no more.

He counts in some games how often the habit holds, tilts the plan by it where its condition holds,
takes the best look against that, and is scored on the calls of the other games against the
equilibrium look, as `worth` scores the reader of everything. A habit that is the plan's own tilts
nothing and gains nothing.
"""

from dataclasses import fields
from typing import Final

import numpy as np
from numpy.typing import NDArray

from sequencer.review.coded import Coded, Codes, Label, side_of
from sequencer.review.effect import GAMES_FROM
from sequencer.review.findings import Finding
from sequencer.review.plans import is_what
from sequencer.review.question import type_word
from sequencer.review.worth import FOLDS, PRIOR_PITCHES, Called, Stakes, Worth, per_100

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

#: Where a plan has none of a pitch in a count, or nothing else, a habit is believed to start from
#: this share or one less it. Assumption.
SMALLEST: Final = 0.01
#: Halvings of the tilt's interval: beyond any number's precision.
_HALVINGS: Final = 60
_WIDEST: Final = 20.0
_PART_OF_CALL: Final = {"pitch": "type", "side of the plate": "side"}


def habit_worth(
    finding: Finding,
    log: Coded,
    stakes: Stakes | None,
    called: Called | None,
    rng: np.random.Generator,
) -> Worth | None:
    """Return what knowing one habit gains per 100 of all his pitches.

    Parameters
    ----------
    finding : Finding
    log : Coded
        The pitcher's pitches, which `finding.rows` are positions of.
    stakes : Stakes or None
        With the words of its calls.
    called : Called or None
        With the row of each call.
    rng : numpy Generator
        For the interval.

    Returns
    -------
    Worth or None
        None where no solved game, or fewer than two games of it, stand behind it.
    """
    if stakes is None or called is None or called.row is None or not stakes.calls:
        return None
    called, position = _placed(called, called.row, log)
    each_pitch = np.arange(len(position))
    inside = _inside(finding, position)
    meets, what = _words(finding, log, position, stakes)
    counted = inside & meets[each_pitch, called.call]
    if len(np.unique(called.game)) < 2 or not counted.any():
        return None
    hit = what[each_pitch, called.call] & counted
    plan = stakes.mix[called.hitter, called.balls, called.strikes, called.last]
    gained = np.zeros(len(position))
    fold = called.game % FOLDS
    for each in np.unique(fold):
        out, seen = inside & (fold == each), counted & (fold != each)
        mix = _tilted(plan, meets, what, (hit, seen), out)
        gained[out] = _gained(stakes, called, out, mix)
    mean, low, high = per_100(gained, _unit(log, called)[position], rng)
    return Worth(mean, (low, high), _says(mean, low, high))


def drawn_by(log: Coded, called: Called | None) -> Codes | None:
    """Return what each call is drawn again with for an interval, (pitches,); None of no calls."""
    if called is None or called.row is None:
        return None
    kept, position = _placed(called, called.row, log)
    return _unit(log, kept)[position] if len(position) == len(called.call) else None


def _unit(log: Coded, called: Called) -> Codes:
    """Return the game of each pitch of a log, or its at-bat where the games are few."""
    return log.game if len(np.unique(called.game)) >= GAMES_FROM else log.at_bat


def _placed(called: Called, row: Codes, log: Coded) -> tuple[Called, Codes]:
    """Return the calls that are of this log, and the position of each in it."""
    kept = np.isin(row, log.row)
    arrays = {each.name: getattr(called, each.name)[kept] for each in fields(called)}
    order = np.argsort(log.row)
    return Called(**arrays), order[np.searchsorted(log.row[order], row[kept])]


def _says(mean: float, low: float, high: float) -> str:
    if low <= 0:
        return (
            f"What it costs cannot be told from nothing: {max(high, 0.0):.2f} runs in 100 pitches "
            "at most."
        )
    return (
        f"A hitter who knows just this gains {mean:.2f} runs in 100 pitches ({low:.2f} to "
        f"{high:.2f})."
    )


def _inside(finding: Finding, position: Codes) -> Mask:
    """Return the pitches before which a hitter knows that the condition holds.

    Where the condition is part of the call he knows it on none, and so looks on every pitch.
    """
    if finding.pattern.factor in _PART_OF_CALL:
        return np.ones(len(position), dtype=bool)
    return np.isin(position, finding.rows)


def _words(finding: Finding, log: Coded, position: Codes, stakes: Stakes) -> tuple[Mask, Mask]:
    """Return which calls the habit is about on each pitch, and which of them are what it speaks of.

    Both of shape (pitches, calls).
    """
    part = _PART_OF_CALL.get(finding.pattern.factor)
    members = set(finding.contrast.condition.members)
    of = np.array([_about(part, members, finding.pattern.label, call) for call in stakes.calls])
    previous, which = np.unique(log.previous[position], return_inverse=True)
    what = np.array(
        [
            [is_what(finding.contrast.what, *call, before) for call in stakes.calls]
            for before in previous.tolist()
        ]
    )[which]
    return np.broadcast_to(of, what.shape), what & of


def _about(part: str | None, members: set[int], label: Label, call: tuple[str, str]) -> bool:
    """Tell whether a call meets a condition that is part of it, and names the side asked about."""
    pitch, target = call
    if label == "side" and side_of(target) < 0:
        return False
    if part == "type":
        return pitch in {type_word(code) for code in members}
    return part is None or side_of(target) in members


def _tilted(plan: Floats, meets: Mask, what: Mask, seen: tuple[Mask, Mask], out: Mask) -> Floats:
    """Return the mix a hitter believes in on pitches he has not seen, (pitches out, calls).

    The log odds of the habit in the plan are moved by as much everywhere, so that over the pitches
    he has seen it comes as often as it did (counted, with the plan for `PRIOR_PITCHES` more).
    """
    base = np.divide((plan * what).sum(axis=1), (plan * meets).sum(axis=1) + 1e-12)
    odds = np.log(np.clip(base, SMALLEST, 1 - SMALLEST))
    odds = odds - np.log1p(-np.exp(odds))
    hit, counted = seen
    usual = float((1 / (1 + np.exp(-odds[counted]))).mean()) if counted.any() else 0.5
    share = (hit[counted].sum() + PRIOR_PITCHES * usual) / (counted.sum() + PRIOR_PITCHES)
    tilt = _tilt(odds[counted], float(share))
    wanted = 1 / (1 + np.exp(-(odds[out] + tilt)))
    return _moved(plan[out], meets[out], what[out], wanted)


def _tilt(odds: Floats, share: float) -> float:
    """Return what to add to log odds so that their mean chance is `share`."""
    low, high = -_WIDEST, _WIDEST
    for _ in range(_HALVINGS if odds.size else 0):
        middle = (low + high) / 2
        if (1 / (1 + np.exp(-(odds + middle)))).mean() < share:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def _moved(plan: Floats, meets: Mask, what: Mask, share: Floats) -> Floats:
    """Give `what` its new share of the calls the habit is about; all else stays as planned."""
    about = (plan * meets).sum(axis=1, keepdims=True)
    rest = meets & ~what
    mix = plan * ~meets
    for part, part_share in ((what, share[:, None]), (rest, 1 - share[:, None])):
        inner = plan * part
        size = inner.sum(axis=1, keepdims=True)
        # a plan with none of it says nothing of where it would go: anywhere alike
        even = part / np.maximum(part.sum(axis=1, keepdims=True), 1)
        mix = mix + about * part_share * np.where(size > 0, inner / np.maximum(size, 1e-12), even)
    shares: Floats = mix / mix.sum(axis=1, keepdims=True)
    return shares


def _gained(stakes: Stakes, called: Called, out: Mask, mix: Floats) -> Floats:
    """Return what the best look against a believed mix gains over the equilibrium look."""
    at = (called.hitter[out], called.balls[out], called.strikes[out], called.last[out])
    stage = stakes.payoffs[at]
    look = np.einsum("nc,nck->nk", mix, stage).argmax(axis=1)
    each = np.arange(len(look))
    mine = stage[each, called.call[out]]
    return np.asarray(mine[each, look] - (mine * stakes.looks[at]).sum(axis=1), dtype=float)
