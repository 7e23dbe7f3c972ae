"""Drafting a mapping file: what the columns and words of someone's own chart may mean."""

import json
from collections.abc import Iterable, Mapping, Sequence
from difflib import SequenceMatcher
from pathlib import Path
from typing import Final, NamedTuple

from sequencer.errors import BadInput
from sequencer.records.columns import PITCH_COLUMNS, Column, names, nearest, plain_word
from sequencer.records.readers.table import Table, read_table

#: Names for our columns on charts that coaches keep. Common practice, no source.
ALSO_CALLED: Final[Mapping[str, str]] = {
    "arm": "pitcher",
    "batter": "hitter",
    "batter_hand": "bats",
    "batter_number": "hitter_no",
    "batter_side": "bats",
    "call": "result",
    "comment": "note",
    "crossed": "cell",
    "day": "date",
    "hits": "bats",
    "hits_from": "bats",
    "location": "cell",
    "man_at_bat": "hitter",
    "mph": "speed_mph",
    "number": "hitter_no",
    "opponent": "them",
    "our_team": "us",
    "outcome": "result",
    "pa": "at_bat",
    "pitch_number": "pitch_no",
    "pitch_type": "pitch",
    "plate_appearance": "at_bat",
    "remarks": "note",
    "side_hit_from": "bats",
    "signal": "called",
    "speed": "speed_mph",
    "throwing_hand": "throws",
    "thrown": "pitch",
    "type": "pitch",
    "up": "hitter",
    "velocity": "speed_mph",
    "where": "cell",
}
#: Words of the dugout for words of ours, by column. Common practice, no source.
ALSO_SAID: Final[Mapping[str, Mapping[str, str]]] = {
    "bats": {"right": "R", "left": "L"},
    "throws": {"right": "R", "left": "L"},
    "pitch": {"heater": "fastball", "change": "changeup", "hook": "curveball"},
    "result": {"looking": "called strike", "whiff": "swinging strike", "fouled": "foul"},
}
#: A guess at least this like (0..1) is written as a line; a weaker one as a comment. Assumption.
SURE: Final = 0.84
#: How like a name in use is; words that all fit are a little less. Assumption.
NAMED: Final = 0.95
FITTING: Final = 0.94
#: A guess below this is no guess at all. Assumption.
LIKELY: Final = 0.6


class Guess(NamedTuple):
    """Which of our columns one of theirs may be, how like it is, and what it may be as well."""

    ours: str
    likeness: float
    others: tuple[str, ...] = ()

    @property
    def sure(self) -> bool:
        """Whether it is written as a line rather than as a comment."""
        return self.likeness >= SURE and not self.others


def draft_mapping(path: str | Path, columns: Sequence[Column] = PITCH_COLUMNS) -> str:
    """Return the TOML of a first mapping for a file: sure guesses as lines, others as comments."""
    table = read_table(path)
    guesses = _guess_columns(table, columns)
    own = [name for name in table.columns if name in names(columns)]
    lines = [
        f"# How to read {table.path.name}. Lines that begin with # are guesses: check them.",
        f"# Read as they are: {', '.join(own) or 'none'}.",
        "",
        "[columns]  # their column = our column",
        *_column_lines(table, guesses, own),
    ]
    for theirs, guess in guesses.items():
        lines.extend(_word_lines(table, theirs, _named(guess.ours, columns), sure=guess.sure))
    for name in own:
        lines.extend(_word_lines(table, name, _named(name, columns), sure=True))
    found = {*own, *(guess.ours for guess in guesses.values() if guess.sure)}
    lines.extend(_value_lines(found, columns))
    return "\n".join(lines) + "\n"


def _named(name: str, columns: Iterable[Column]) -> Column:
    return next(column for column in columns if column.name == name)


def _guess_columns(table: Table, columns: Sequence[Column]) -> dict[str, Guess]:
    """Return {their column: our column}, each of ours at most once."""
    free = [column for column in columns if column.name not in table.columns]
    theirs_left = [name for name in table.columns if name not in names(columns)]
    words = {name: _distinct(table, name) for name in theirs_left}
    pairs = sorted(
        ((_likeness(name, words[name], one), name, one) for name in theirs_left for one in free),
        key=lambda pair: (-pair[0], not pair[2].required),
    )
    guesses: dict[str, Guess] = {}
    taken: set[str] = set()
    for score, theirs, column in pairs:
        if score >= LIKELY and theirs not in guesses and column.name not in taken:
            guesses[theirs] = Guess(column.name, score)
            taken.add(column.name)
    return _doubted(guesses, [(theirs, one) for score, theirs, one in pairs if score >= SURE])


def _doubted(
    guesses: Mapping[str, Guess], fitting: Sequence[tuple[str, Column]]
) -> dict[str, Guess]:
    """Return the guesses with what else a column may be, where its words fit several of ours.

    A name settles it. So does that a log must have one of them, and no other column fits it.
    """
    named = {
        guess.ours for theirs, guess in guesses.items() if _by_name(theirs, guess.ours) >= SURE
    }
    open_ = [(theirs, one) for theirs, one in fitting if one.name not in named]
    doubted = dict(guesses)
    for theirs, guess in guesses.items():
        others = tuple(o.name for t, o in open_ if t == theirs and o.name != guess.ours)
        fit_it = [one for _, one in open_ if one.name == guess.ours]
        alone = len(fit_it) == 1 and fit_it[0].required
        if guess.ours not in named and not alone:
            doubted[theirs] = guess._replace(others=others)
    return doubted


def _likeness(theirs: str, words: Sequence[str], column: Column) -> float:
    """Return how like one of their columns is to one of ours, by its name and by its words."""
    by_name = _by_name(theirs, column.name)
    if theirs in ALSO_CALLED:
        return by_name if ALSO_CALLED[theirs] == column.name else 0.0
    if not _reads(column, words):
        return 0.0
    if not column.words or not words:
        return by_name
    known = {word.lower() for word in column.words} | ALSO_SAID.get(column.name, {}).keys()
    by_words = sum(plain_word(word) in known for word in words) / len(words)
    return max(by_name, FITTING * by_words) if by_words else min(by_name, SURE - 0.01)


def _by_name(theirs: str, ours: str) -> float:
    if ALSO_CALLED.get(theirs) == ours:
        return NAMED
    return SequenceMatcher(None, theirs, ours).ratio()


def _reads(column: Column, words: Iterable[str]) -> bool:
    """Return whether a column of numbers, flags or days can hold these texts."""
    if column.kind not in {"int", "float", "flag", "date"}:
        return True
    try:
        return all(column.read(word) is not None for word in words)
    except BadInput:
        return False


def _distinct(table: Table, name: str, most: int = 40) -> list[str]:
    """Return the first `most` different texts of a column."""
    seen: dict[str, None] = {}
    for _, row in table.rows:
        text = row.get(name, "").strip()
        if text:
            seen[text] = None
        if len(seen) >= most:
            break
    return list(seen)


def _column_lines(table: Table, guesses: Mapping[str, Guess], own: Sequence[str]) -> list[str]:
    lines = []
    for name in table.columns:
        if name in guesses:
            guess = guesses[name]
            line = f"{_quoted(name)} = {_quoted(guess.ours)}"
            also = f"  # or {' or '.join(map(_quoted, guess.others))}" if guess.others else ""
            lines.append(line if guess.sure else f"# {line}{also}")
        elif name not in own:
            lines.append(f'# {_quoted(name)} = ""  # no guess; left out')
    return lines


def _word_lines(table: Table, theirs: str, column: Column, *, sure: bool) -> list[str]:
    """Return the [words] table for the words of a column that are not ours yet."""
    known = {word.lower(): word for word in column.words}
    foreign = [text for text in _distinct(table, theirs) if plain_word(text) not in known]
    if not known or not foreign:
        return []
    mark = "" if sure else "# "
    lines = ["", f"{mark}[words.{column.name}]  # their word = one of {', '.join(column.words)}"]
    for text in foreign:
        near = ALSO_SAID.get(column.name, {}).get(plain_word(text), "").lower()
        near = near or nearest(plain_word(text), known)
        guess = f"{_quoted(text)} = {_quoted(known.get(near, ''))}"
        lines.append(f"{mark if near else '# '}{guess}")
    return lines


def _value_lines(found: Iterable[str], columns: Iterable[Column]) -> list[str]:
    """Return hints for what the file does not say at all."""
    wanted = [c for c in columns if c.required or c.name in {"us", "them", "date"}]
    missing = [column for column in wanted if column.name not in set(found)]
    if not missing:
        return []
    hints = [f'# {column.name} = ""  # {column.meaning}' for column in missing]
    return ["", "[values]  # our column = what every row holds", *hints]


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
