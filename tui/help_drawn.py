"""A page of help as text: the little Markdown that help is written in, drawn as one piece.

A widget for every paragraph, as Textual's own Markdown has them, holds the screen up for a quarter
of a second.
"""

import re
from collections.abc import Iterator
from textwrap import wrap
from typing import Final

from rich.text import Text

#: Columns of a line: help is this wide on a screen of 80.
WIDTH: Final = 70
_WORDS: Final = re.compile(r"\*\*(?P<bold>.+?)\*\*|\*(?P<italic>.+?)\*|`(?P<code>.+?)`")
_STYLES: Final = {"bold": "bold", "italic": "italic", "code": "bold"}
_ITEM: Final = "- "


def drawn(page: str) -> Text:
    """Return a page: headings, paragraphs, lists, blocks that stay as they are; bold and italic."""
    lines: list[Text] = []
    for block in _blocks(page.splitlines()):
        lines += [*([Text()] if lines else []), *_lines(block)]
    return Text("\n").join(lines)


def _blocks(lines: list[str]) -> Iterator[list[str]]:
    """Yield paragraphs, lists and fenced blocks, without the empty lines between them."""
    block: list[str] = []
    fenced = False
    for line in lines:
        fence = line.startswith("```")
        if block and ((fence and not fenced) or (not line.strip() and not fenced)):
            yield block
            block = []
        if line.strip() or fenced:
            block.append(line)
        fenced ^= fence
        if fence and not fenced:
            yield block
            block = []
    if block:
        yield block


def _lines(block: list[str]) -> Iterator[Text]:
    first = block[0]
    if first.startswith("```"):
        yield from map(Text, block[1:-1])
    elif first.startswith("#"):
        level, _, title = first.partition(" ")
        yield Text(title, "bold underline" if level == "#" else "bold")
        if block[1:]:
            yield from _lines(block[1:])
    else:
        for words in _joined(block):
            item = words.startswith(_ITEM)
            yield from _wrapped(words.removeprefix(_ITEM), "• " if item else "")


def _joined(block: list[str]) -> Iterator[str]:
    """Yield a paragraph, or each item of a list, as one line."""
    joined = ""
    for line in block:
        if joined and line.startswith(_ITEM):
            yield joined
            joined = ""
        joined = f"{joined} {line.strip()}" if joined else line.strip()
    yield joined


def _wrapped(words: str, mark: str) -> Iterator[Text]:
    """Yield lines of what is bold and italic in words, the first one marked."""
    styled = Text()
    at = 0
    for found in _WORDS.finditer(words):
        styled.append(words[at : found.start()])
        kind = found.lastgroup or ""
        styled.append(found[kind], _STYLES[kind])
        at = found.end()
    styled.append(words[at:])
    plain, at = styled.plain, 0
    for n, line in enumerate(wrap(plain, WIDTH - len(mark), break_on_hyphens=False)):
        at = plain.index(line, at)
        yield Text(mark if not n else " " * len(mark)) + styled[at : at + len(line)]
        at += len(line)
