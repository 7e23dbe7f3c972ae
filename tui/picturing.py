"""From pitches to pictures of the zone: counted by cell, smoothed, a sentence for every cell."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from sequencer.baseball.zone import Zone
from sequencer.review.statistics import wilson
from tui.picture_views import Cell, Picture, PicturesAsked, PictureSet, Seen, ZoneView
from tui.shares import CELLS, FEW, SHADES, SHARES, Share, in_100, many, named, plural, span

if TYPE_CHECKING:
    from tui.smoothed import Smoothed

EVERY: Final = "all pitches"
WENT: Final = "where they went"
ASKED: Final = "where asked for"
#: Shares at which a cell turns a shade darker.
_THIRDS: Final = (0.0, 1 / 3, 2 / 3)
_SHARE_LEGEND: Final = ("in 100:", "░ under 33", "▒ 33 to 66", "▓ 67 and more")


def pictures(asked: PicturesAsked) -> PictureSet:
    """Return the pictures of some pitches, of all of them and by kind of pitch."""
    zone = Zone(asked.top_in, asked.bottom_in)
    made = list(_numbered(asked))
    for kind in kinds(asked.seen):
        own = of_kind(asked.seen, kind)
        if asked.counted == "hitter":
            made += [_shared(asked, own, share, kind, zone) for share in SHARES]
        made.append(where_picture(asked, own, kind, zone))
        made += _asked_for(asked, own, kind, zone)
    return PictureSet(asked.title, tuple(made), tuple(one.line for one in asked.seen))


def kinds(seen: Sequence[Seen]) -> tuple[str, ...]:
    """Return by what pitches can be parted: all of them first, then the most thrown."""
    found = Counter(one.kind for one in seen if one.kind)
    return (EVERY, *(kind for kind, _ in found.most_common())) if len(found) > 1 else (EVERY,)


def of_kind(seen: Sequence[Seen], kind: str) -> list[int]:
    """Return the places of pitches of a kind, or of all."""
    return [i for i, one in enumerate(seen) if kind in (EVERY, one.kind)]


def _numbered(asked: PicturesAsked) -> Iterator[Picture]:
    """Yield the picture of single pitches by number, where one is asked for."""
    if asked.numbered is None or not asked.numbered_title:
        return
    own = tuple(range(len(asked.seen) - asked.numbered_of, len(asked.seen)))
    cells = {
        cell: Cell(f"{named(cell, asked.bats)}: {many(len(at), 'pitch')}.", pitches=tuple(at))
        for cell, at in _by_cell(asked.seen, own).items()
    }
    rests_on = f"{many(len(own), 'pitch')}, the last one bold.{_unplaced(asked.seen, own)}"
    why = "Single pitches are not smoothed."
    yield Picture(
        asked.numbered_title, EVERY, asked.numbered, rests_on=rests_on, cells=cells, not_smooth=why
    )


# shares


def share_zone(
    seen: Sequence[Seen], share: Share, zone: Zone, bats: str
) -> tuple[ZoneView, int, int]:
    """Return a share by cell as a small picture, how many were counted and of how many."""
    some = [one for one in seen if share.of(one)]
    of = Counter(one.cell for one in some if one.cell)
    hits = Counter(one.cell for one in some if one.cell and share.counts(one))
    cells = {cell: (_share_step(hits[cell], n), f"{hits[cell]}/{n}") for cell, n in of.items()}
    legend = "░<33 ▒<67 ▓67+ in 100" if cells else ""
    view = ZoneView(zone.top_in, zone.bottom_in, bats, cells=cells, legend=legend)
    return view, sum(map(share.counts, some)), len(some)


def _share_step(hits: int, of: int) -> int:
    return sum(hits / of >= edge for edge in _THIRDS) if of >= FEW else 0


def _shared(
    asked: PicturesAsked, own: Sequence[int], share: Share, kind: str, zone: Zone
) -> Picture:
    from tui.smoothed import smooth_share

    own = [i for i in own if share.of(asked.seen[i])]
    some = [asked.seen[i] for i in own]
    view, hits, total = share_zone(some, share, zone, asked.bats)
    low, high = wilson(hits, total)
    things = plural(share.thing)
    rests_on = (
        f"{share.said.capitalize()} {hits} of {many(total, share.thing)}, {in_100(hits / total)} "
        f"({span(low, high)}).{_unplaced(asked.seen, own)}"
        if total
        else f"No {things} yet."
    )
    held = _by_cell(asked.seen, own)
    says = {cell: _share_says(cell, asked, held.get(cell, ()), share) for cell in CELLS}
    legend = (*_SHARE_LEGEND, f"blank: under {FEW}")
    return _picture(
        share.title, kind, view, legend, rests_on, says, held, smooth_share(some, share, zone)
    )


def _share_says(cell: str, asked: PicturesAsked, own: Sequence[int], share: Share) -> str:
    if not own:
        return f"{named(cell, asked.bats)}: no {plural(share.thing)}."
    hits = sum(share.counts(asked.seen[i]) for i in own)
    low, high = wilson(hits, len(own))
    return (
        f"{named(cell, asked.bats)}: {share.said} {hits} of {many(len(own), share.thing)}, "
        f"{in_100(hits / len(own))} ({span(low, high)})."
    )


# where pitches went


def where_zone(seen: Sequence[Seen], zone: Zone, bats: str) -> ZoneView:
    """Return how many went to each cell as a small picture."""
    counts = Counter(one.cell for one in seen if one.cell)
    most = max(counts.values(), default=0)
    cells = {cell: (count_step(n, most), str(n)) for cell, n in counts.items()}
    legend = " ".join(f"{shade}{said}" for shade, said in _count_steps(most))
    return ZoneView(zone.top_in, zone.bottom_in, bats, cells=cells, legend=legend)


def count_step(count: int, most: int) -> int:
    """Return the step of the shade of a count: 0 for none, then a third of the most each."""
    return 1 + min(2, (count * 3 - 1) // most) if count and most else 0


def _count_steps(most: int) -> Iterator[tuple[str, str]]:
    """Yield the shades in use with the counts they stand for."""
    held: dict[int, list[int]] = {}
    for count in range(1, most + 1):
        held.setdefault(count_step(count, most), []).append(count)
    for step, counts in held.items():
        first, last = counts[0], counts[-1]
        yield SHADES[step], f"{first}" if first == last else f"{first}-{last}"


def where_picture(asked: PicturesAsked, own: Sequence[int], kind: str, zone: Zone) -> Picture:
    """Return where some of the pitches went: counted, smoothed, a sentence for every cell."""
    from tui.smoothed import smooth_where

    some = [asked.seen[i] for i in own]
    held = _by_cell(asked.seen, own)
    placed = sum(map(len, held.values()))
    says = {cell: _where_says(cell, asked, held.get(cell, ()), placed) for cell in CELLS}
    most = max(map(len, held.values()), default=0)
    legend = [f"{shade} {said.replace('-', ' to ')}" for shade, said in _count_steps(most)]
    return _picture(
        WENT, kind, where_zone(some, zone, asked.bats),
        (f"{plural(asked.thing)}:", *legend) if legend else (),
        f"{many(len(some), asked.thing)}.{_unplaced(asked.seen, own)} {asked.note}".rstrip(),
        says, held, smooth_where(some, zone, asked.thing),
    )  # fmt: skip


def _asked_for(
    asked: PicturesAsked, own: Sequence[int], kind: str, zone: Zone
) -> Iterator[Picture]:
    """Yield where some of the pitches were asked for, where that was charted.

    A half is drawn at the middle of its cell beside the plate's middle, as it is aimed at.
    """
    if not any(one.asked for one in asked.seen):
        return
    seen = tuple(one._replace(cell=one.asked, side_in=None, height_in=None) for one in asked.seen)
    own = [i for i in own if seen[i].cell]
    drawn = where_picture(replace(asked, seen=seen), own, kind, zone)
    why = "Places asked for are words."
    cells = {cell: replace(one, smooth="") for cell, one in drawn.cells.items()}
    rests_on = drawn.rests_on.replace(".", " with a target.", 1)
    yield replace(drawn, title=ASKED, cells=cells, smooth=None, not_smooth=why, rests_on=rests_on)


def _where_says(cell: str, asked: PicturesAsked, own: Sequence[int], placed: int) -> str:
    if not placed:
        return f"{named(cell, asked.bats)}: no {asked.thing} yet."
    if not own:
        return f"{named(cell, asked.bats)}: none of {many(placed, asked.thing)}."
    low, high = wilson(len(own), placed)
    parts = Counter(asked.seen[i].kind for i in own if asked.seen[i].kind)
    by = ", ".join(f"{kind} {n}" for kind, n in parts.most_common()) if len(parts) > 1 else ""
    return (
        f"{named(cell, asked.bats)}: {len(own)} of {many(placed, asked.thing)}, "
        f"{in_100(len(own) / placed)} ({span(low, high)}){f': {by}' if by else ''}."
    )


def _picture(
    title: str,
    kind: str,
    view: ZoneView,
    legend: tuple[str, ...],
    rests_on: str,
    says: dict[str, str],
    held: dict[str, list[int]],
    smoothed: "Smoothed",
) -> Picture:
    smooth, said, why = smoothed
    cells = {
        cell: Cell(words, said.get(cell, ""), tuple(held.get(cell, ())))
        for cell, words in says.items()
    }
    return Picture(title, kind, view, legend, rests_on, cells, smooth, why)


def _by_cell(seen: Sequence[Seen], own: Sequence[int]) -> dict[str, list[int]]:
    held: dict[str, list[int]] = {}
    for i in own:
        if seen[i].cell:
            held.setdefault(seen[i].cell, []).append(i)
    return held


def _unplaced(seen: Sequence[Seen], own: Sequence[int]) -> str:
    lost = sum(not seen[i].cell for i in own)
    return f" {lost} without a place." if lost else ""
