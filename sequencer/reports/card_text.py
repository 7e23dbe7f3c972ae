"""A card as plain text of 80 columns, for a terminal or any printer."""

from textwrap import wrap
from typing import Final

from sequencer.reports.card_coach import per_100
from sequencer.reports.card_page import COUNTS, TIMES, Block, Line, Page
from sequencer.reports.lines import WIDTH

#: Columns: what stands before the draw, one group of the draw, the counts before calls.
_HEAD: Final = 14
_GROUP: Final = 11
_ROW: Final = 14


def catcher_text(page: Page) -> str:
    """Return the catcher's side."""
    lines = [f"{page.pitcher}  {page.game}".rstrip()[:WIDTH]]
    if page.shelved:
        lines.append(page.shelved_says)
    lines += ["", *_wrapped(page.legend), *_wrapped(f"Like this: {page.example}")]
    if page.each:
        for line in page.lines:
            lines += ["", *_own(line)]
    else:
        lines += ["", *_line_up(page.lines)]
        for block in page.blocks:
            lines += ["", *_plan(block)]
    return "\n".join(line.rstrip() for line in lines)


def coach_text(page: Page) -> str:
    """Return the coach's side."""
    lines = [line for words in page.coach.says for line in _wrapped(words)]
    lines += ["", "Runs per 100 plate appearances:"]
    lines.append(f"{'no.':>4} bats  {'hitter':<30}plan  simple  shared")
    for one in page.coach.costs:
        batter = one.batter
        lines.append(
            f"{batter.number:>4} {batter.bats:<5} {batter.name[:29]:<30}{one.plan:<4}"
            f"{per_100(one.simple):>8}{per_100(one.sharing):>8}"
        )
    for name, rows in page.coach.shares:
        lines += ["", f"{name}, tenths"]
        for counts, calls in zip(COUNTS.values(), rows, strict=True):
            lines += _beside(" ".join(counts), ", ".join(calls))
    return "\n".join(line.rstrip() for line in lines)


def card_text(page: Page, *, sides: str = "both") -> str:
    """Return a card: the catcher's side, the coach's, or both with a line between."""
    if sides == "catcher":
        return catcher_text(page)
    coach = "For the coach\n" + coach_text(page)
    return coach if sides == "coach" else f"{catcher_text(page)}\n\n{'-' * WIDTH}\n{coach}"


def _line_up(lines: tuple[Line, ...]) -> list[str]:
    """Return the line-up: number, side and plan, then the draw under stacked counts."""
    stacked = [tuple(counts) + ("",) * (3 - len(counts)) for counts in COUNTS.values()]
    said = []
    for k in range(3):
        words = "  no. bats plan" if k == 2 else ""
        said.append(f"{words:<{_HEAD}}" + "".join(f"| {one[k]:<{_GROUP - 2}}" for one in stacked))
    rule = "-" * _HEAD + ("+" + "-" * (_GROUP - 1)) * len(stacked)
    said.append(rule)
    for line in lines:
        batter = line.batter
        groups = "".join(f"| {' '.join(cells):<{_GROUP - 2}}" for cells in line.draw)
        said.append(f"{batter.tag[:5]:>5} {batter.bats:^4} {line.plan:^3}"[:_HEAD] + groups)
    return said


def _plan(block: Block) -> list[str]:
    who = f": {' '.join(block.numbers)}" if block.numbers else ""
    lines = _wrapped(f"Plan {block.letter}, {block.title}{who}")
    for counts, calls in zip(COUNTS.values(), block.rows, strict=True):
        said = "   ".join(f"{n} {call}" for n, call in enumerate(calls, start=1))
        lines += _beside(" ".join(counts), said)
    if block.pair:
        lines.append(f"  Practise: {block.pair}")
    return lines


def _own(line: Line) -> list[str]:
    batter = line.batter
    width = (WIDTH - _ROW) // len(TIMES)
    lines = [f"{batter.number} {batter.bats}  {batter.name}".strip()[:WIDTH]]
    lines.append(" " * _ROW + "".join(f"{time:<{width}}" for time in TIMES))
    for counts, calls in zip(COUNTS.values(), line.draw, strict=True):
        cells = [wrap(call, width - 1, break_on_hyphens=False) for call in calls]
        for k in range(max(map(len, cells))):
            head = f"  {' '.join(counts)}" if k == 0 else ""
            said = "".join(f"{cell[k] if k < len(cell) else '':<{width}}" for cell in cells)
            lines.append(f"{head:<{_ROW}}{said}")
    if line.pair:
        lines.append(f"  Practise: {line.pair}")
    return lines


def _beside(head: str, words: str) -> list[str]:
    parts = wrap(words, WIDTH - _ROW, break_on_hyphens=False) or [""]
    return [f"{f'  {head}' if k == 0 else '':<{_ROW}}{part}" for k, part in enumerate(parts)]


def _wrapped(words: str) -> list[str]:
    return wrap(words, WIDTH)
