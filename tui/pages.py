"""From beliefs and plans to what the screens show: pure, on a thread of its own."""

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any, Final

from sequencer.baseball.pitches import SWINGS
from sequencer.baseball.zone import Zone
from sequencer.estimates.hitter import HitterBelief, spread
from sequencer.estimates.pitcher import PitchBelief
from sequencer.estimates.traits import TRAIT_TABLE
from sequencer.planning.plan import CountPlan, HitterPlan
from sequencer.reports.plan_text import turns_said
from sequencer.review.statistics import wilson
from tui.history import hit_lines
from tui.picture_views import Seen, ZoneView
from tui.picturing import share_zone
from tui.shares import SHARES, Share, cell_in_view, many, span
from tui.spray import by_side, field_of, table, where_hit
from tui.views import TraitBar, TraitsView

if TYPE_CHECKING:
    import pandas as pd

#: A trait has a bar when it lies this many spreads of a level from the usual hitter: less shows
#: on none (assumption).
_SHOWN: Final = 0.1
#: What a trait is called where there is little room.
SHORT_NAMES: Final = {
    "contact": "makes contact",
    "power": "hits it hard",
    "zone_swing": "swings in zone",
    "chase": "chases off plate",
    "chase_up": "chases up",
    "chase_in": "chases in",
    "chase_away": "chases away",
    "chase_breaking": "chases low-away",
    "fast": "hits fastball",
    "breaking": "hits breaking",
    "offspeed": "hits off-speed",
    "up": "hits it up",
    "down": "hits it down",
    "inside": "hits it in",
    "outside": "hits it away",
    "timing_late": "swings late",
    "pull": "pulls the ball",
    "first_pitch": "swings at first",
    "aggressive": "aggressive",
    "swing_breaking": "swings, breaking",
    "fast_belief": "looks for fast",
    "two_strike_chase": "two-strike chase",
    "protect": "shortens up",
    "foul": "fouls good ones",
    "bunt": "bunts",
    "speed": "infield hits",
    "hit_by_pitch": "hit by pitches",
}
#: Looks listed of one count.
_LOOKS: Final = 3
_NOTHING_SEEN: Final = "No pitch seen yet: all of this is marks and league."
Row = dict[str, Any]


def records(frame: "pd.DataFrame") -> list[Row]:
    """Return a frame's rows as plain values; what is missing is None or ""."""
    return [
        {str(name): None if value != value else value for name, value in row.items()}
        for row in frame.to_dict("records")
    ]


# a hitter's page


def traits_view(
    hitter_id: str,
    belief: HitterBelief,
    seen: "pd.DataFrame",
    zone: Zone,
    *,
    pitches: bool = False,
) -> TraitsView:
    """Return what was seen of a hitter and what is believed of him.

    Parameters
    ----------
    hitter_id : str
    belief : HitterBelief
    seen : DataFrame
        The pitches he saw, columns of the pitch log.
    zone : Zone
        Of his level.
    pitches : bool
        Whether he has pitched for us.
    """
    both = records(seen)
    rows = [row for row in both if row["bats"] == belief.bats]
    points = tuple(_seen(row, zone) for row in rows)
    where = _rests_on(rows, sum(not point.cell for point in points))
    swings, *others = (_small(points, share, zone, belief.bats, where) for share in SHARES)
    picture, rests_on = swings if rows else (swings[0], _NOTHING_SEEN)
    bars, spray = _bars(belief), field_of(rows, belief.bats)
    bare = pitches and not rows and not belief.start.any()
    return TraitsView(
        hitter_id,
        picture,
        rests_on,
        seen=(*_by_family(rows), *hit_lines(rows)),
        says=() if bare else tuple(map(as_sentence, belief.says())),
        notes=tuple(map(as_sentence, belief.notes)),
        bars=bars,
        alike=len(TRAIT_TABLE) - len(bars),
        pitches=pitches,
        pictures=tuple(others),
        points=points,
        spray=spray,
        where_hit=where_hit(spray),
        sides=tuple((one, (where_hit(one), *table(one))) for one in by_side(both)),
    )


def _seen(row: Row, zone: Zone) -> Seen:
    """Return a pitch a hitter saw as a point of a picture."""
    day = f"{row['date']:%m-%d} " if row["date"] is not None else ""
    where = f" {row['cell']}" if row["cell"] else ""
    line = (
        f"{day}{row['balls']}-{row['strikes']} {row['pitch'] or 'pitch'}{where}, "
        f"{row['play'] or row['result']} ({row['pitcher']})"
    )
    return Seen(
        cell_in_view(row, zone),
        row["family"] or "",
        row.get("side_in"),
        row.get("height_in"),
        row["result"] or "",
        row["contact"] or "",
        line,
    )


def as_sentence(words: str) -> str:
    """Return words with a capital and a full stop."""
    return words[:1].upper() + words[1:] + ("" if words.endswith(".") else ".")


def _small(
    points: Sequence[Seen], share: Share, zone: Zone, bats: str, where: str = ""
) -> tuple[ZoneView, str]:
    """Return a small picture of a share, and its line: of how many, where, and between what."""
    view, hits, total = share_zone(points, share, zone, bats)
    between = f", {span(*wilson(hits, total))} in 100" if total else ""
    return (
        view,
        f"{share.title.capitalize()}: {hits} of {many(total, share.thing)}{where}{between}.",
    )


def _rests_on(rows: Sequence[Row], unplaced: int) -> str:
    games = len({row["game_id"] for row in rows})
    where = f" ({unplaced} without a place)" if unplaced else ""
    return f" in {games} game{'s' * (games != 1)}{where}"


def _by_family(rows: Sequence[Row]) -> tuple[str, ...]:
    lines = []
    for kind in ("fast", "breaking", "off-speed"):
        mine = [row for row in rows if row["family"] == kind]
        swings = [row for row in mine if row["result"] in SWINGS]
        if mine:
            missed = sum(row["result"] == "swinging strike" for row in swings)
            lines.append(f"{kind:<10}{len(swings)}/{len(mine)}, missed {missed}")
    return tuple(lines)


def _bars(belief: HitterBelief) -> tuple[TraitBar, ...]:
    """Return the traits that differ, furthest from the usual hitter first."""
    prior = spread(belief.level)
    bars = []
    for trait, sd in zip(TRAIT_TABLE, prior, strict=True):
        mean, own = belief.trait(trait.name)
        if abs(mean / sd) >= _SHOWN:
            bars.append(TraitBar(trait.says, SHORT_NAMES[trait.name], mean / sd, own / sd))
    return tuple(sorted(bars, key=lambda bar: -abs(bar.mean)))


# a plan


def head_lines(plan: HitterPlan) -> tuple[str, ...]:
    """Say what one hitter's plan guarantees, gains and costs."""
    lines = [f"{plan.hitter} ({plan.bats}): runs in 100 times up, above the usual"]
    lines.append(f"  whatever he looks for   {100 * plan.value:+.1f} at most")
    if plan.trust:
        lines.append(
            f"  trust {plan.trust:.2g} saves {_runs(plan.if_book_right)} if right, "
            f"costs {_runs(plan.if_book_wrong)} if wrong"
        )
    if plan.rules_costs:
        lines.append("  " + rules_line(plan))
    return (*lines, *plan.notes)


def rules_line(plan: HitterPlan) -> str:
    """Say what each of the coach's rules costs against one hitter."""
    *alone, (_, together) = plan.rules_costs
    said = ", ".join(f"{words} {_runs(cost)}" for words, cost in alone)
    return f"your rules cost: {said}" + (f"; together {_runs(together)}" * (len(alone) > 1))


def _runs(runs: float) -> str:
    return f"{round(100.0 * runs, 1) + 0.0:.1f}"


def turn_lines(plan: HitterPlan) -> tuple[str, ...]:
    """Say which counts are a coin flip against one hitter, once that was looked at."""
    return tuple(map(as_sentence, turns_said(plan)))


def arsenal_lines(arsenal: Iterable[PitchBelief]) -> tuple[str, ...]:
    """Say how far each pitch misses and how often it is a strike, each with its spread."""
    lines = ["", "What he can locate: miss to a side, strikes in 100"]
    for pitch in arsenal:
        low, high = pitch.strike_interval
        lines.append(
            f"{pitch.pitch:<14}{pitch.spread:4.1f} ±{pitch.spread_sd:.1f} in"
            f"{100 * pitch.strike_share:5.0f} ({100 * low:.0f}-{100 * high:.0f})"
            f"  {pitch.charted} charted" + ("  shelved" if pitch.shelved else "")
        )
    return tuple(lines)


def count_rows(plan: HitterPlan) -> tuple[tuple[str, str, str], ...]:
    """Return the twelve counts: the count, calls with shares of 100, what he would look for."""
    return tuple(
        (str(count), calls_line(one), looks_line(one)) for count, one in plan.counts.items()
    )


def calls_line(one: CountPlan) -> str:
    """Return a count's calls with shares of 100, coin flips marked, none in 100 left out."""
    flips = one.coin_flips or ()
    said = (
        (f"{100 * share:.0f}", f"{'~' if call in flips else ''}{call}") for call, share in one.calls
    )
    return "   ".join(_unbroken(f"{of} {call}") for of, call in said if of != "0")


def looks_line(one: CountPlan) -> str:
    """Return what he would look for with shares of 100; looks of the same words are one."""
    said: dict[str, float] = {}
    for look, share in one.looks:
        said[look.says] = said.get(look.says, 0.0) + share
    most = sorted(said.items(), key=lambda item: -item[1])[:_LOOKS]
    return "   ".join(_unbroken(f"{100 * share:.0f} {says}") for says, share in most)


def _unbroken(words: str) -> str:
    """Return words that stay on one line together."""
    return words.replace(" ", "\u00a0")
