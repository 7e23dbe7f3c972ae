"""A mapping file turns anyone's table into ours: their column -> ours, their word -> ours."""

import json
import tomllib
from collections.abc import Iterable, Mapping, Sequence
from difflib import SequenceMatcher
from pathlib import Path
from typing import Final

from pydantic import BaseModel, ConfigDict, Field, ValidationError, field_validator

from sequencer.errors import BadInput
from sequencer.records.columns import PITCH_COLUMNS, Column, names, nearest, plain_word
from sequencer.records.readers.table import Table, column_name, read_table

#: Names for our columns on charts that coaches keep. Common practice, no source.
ALSO_CALLED: Final[Mapping[str, str]] = {
    "batter": "hitter",
    "batter_hand": "bats",
    "batter_number": "hitter_no",
    "bat_side": "bats",
    "call": "result",
    "comment": "note",
    "day": "date",
    "location": "cell",
    "mph": "speed_mph",
    "number": "hitter_no",
    "opponent": "them",
    "outcome": "result",
    "pa": "at_bat",
    "pitch_type": "pitch",
    "remarks": "note",
    "signal": "called",
    "speed": "speed_mph",
    "throwing_hand": "throws",
    "type": "pitch",
    "velocity": "speed_mph",
    "where": "cell",
}
#: A guess at least this like (0..1) is written as a line; a weaker one as a comment. Assumption.
SURE: Final = 0.84
#: A guess below this is no guess at all. Assumption.
LIKELY: Final = 0.6


class MappingFile(BaseModel):
    """What a mapping file says.

    `columns`: their column -> ours; `words`: our column -> {their word -> ours}; `values`: our
    column -> what every row holds; `units`: our column -> factor for their numbers.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    columns: dict[str, str] = Field(default_factory=dict)
    words: dict[str, dict[str, str]] = Field(default_factory=dict)
    values: dict[str, str] = Field(default_factory=dict)
    units: dict[str, float] = Field(default_factory=dict)

    @field_validator("values", mode="before")
    @classmethod
    def _texts(cls, values: object) -> object:
        if not isinstance(values, dict):
            return values
        return {name: str(value) for name, value in values.items()}


def load_mapping(path: str | Path) -> MappingFile:
    """Return a mapping file's content; raise BadInput in a sentence if it is not one."""
    path = Path(path)
    try:
        return MappingFile.model_validate(tomllib.loads(path.read_text(encoding="utf-8")))
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(part) for part in first["loc"])
        raise BadInput(f"mapping {path.name}, {where}: {first['msg']}") from error
    except (ValueError, RecursionError) as error:
        raise BadInput(f"mapping {path.name} is not TOML in UTF-8: {error}") from error
    except OSError as error:
        raise BadInput(f"mapping {path} cannot be read: {error.strerror}") from error


def mapped(table: Table, mapping: MappingFile, columns: Sequence[Column]) -> Table:
    """Return the table in our columns and words; columns the mapping leaves out are dropped.

    Raises
    ------
    BadInput
        If the mapping names a column that is not in the file or not one of ours.
    """
    ours = _our_names(table, mapping, columns)
    spelled = {
        name: {plain_word(theirs): word for theirs, word in words.items()}
        for name, words in mapping.words.items()
    }
    fixed = {name: value for name, value in mapping.values.items() if name not in ours.values()}
    rows = [
        (
            line,
            fixed
            | {ours[n]: _cell(ours[n], t, spelled, mapping) for n, t in row.items() if n in ours},
        )
        for line, row in table.rows
    ]
    kept = tuple(dict.fromkeys((*ours.values(), *fixed)))
    return Table(table.path, kept, rows, table.bad, table.warnings)


def _our_names(table: Table, mapping: MappingFile, columns: Sequence[Column]) -> dict[str, str]:
    """Return {column of the file: our column}; our own names pass unless mapped otherwise."""
    known = names(columns)
    wanted = {column_name(theirs): ours for theirs, ours in mapping.columns.items()}
    absent = [theirs for theirs in wanted if theirs not in table.columns]
    if absent:
        raise BadInput(f"the mapping names column '{absent[0]}', which {table.path.name} has not")
    for ours in (*wanted.values(), *mapping.words, *mapping.values, *mapping.units):
        if ours not in known:
            near = nearest(ours, known)
            hint = f"; did you mean '{near}'?" if near else ""
            raise BadInput(f"the mapping names '{ours}', which is not a column of ours{hint}")
    taken = set(wanted.values())
    if len(taken) < len(wanted):
        raise BadInput("the mapping sends two columns of the file to one column of ours")
    itself = {name: name for name in table.columns if name in known and name not in taken}
    return itself | wanted


def _cell(
    name: str, text: str, spelled: Mapping[str, Mapping[str, str]], mapping: MappingFile
) -> str:
    text = spelled.get(name, {}).get(plain_word(text), text)
    factor = mapping.units.get(name)
    if factor is None or not text.strip():
        return text
    try:
        return repr(float(text) * factor)
    except ValueError:
        return text  # the column's own reading names what is wrong with it


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
    for theirs, (ours, score) in guesses.items():
        lines.extend(_word_lines(table, theirs, _named(ours, columns), sure=score >= SURE))
    for name in own:
        lines.extend(_word_lines(table, name, _named(name, columns), sure=True))
    found = {*own, *(ours for ours, score in guesses.values() if score >= SURE)}
    lines.extend(_value_lines(found, columns))
    return "\n".join(lines) + "\n"


def _named(name: str, columns: Iterable[Column]) -> Column:
    return next(column for column in columns if column.name == name)


def _guess_columns(table: Table, columns: Sequence[Column]) -> dict[str, tuple[str, float]]:
    """Return {their column: (our column, how sure 0..1)}, each of ours at most once."""
    free = [column for column in columns if column.name not in table.columns]
    theirs_left = [name for name in table.columns if name not in names(columns)]
    words = {name: _distinct(table, name) for name in theirs_left}
    pairs = sorted(
        ((_likeness(name, words[name], one), name, one) for name in theirs_left for one in free),
        key=lambda pair: (-pair[0], not pair[2].required),
    )
    guesses: dict[str, tuple[str, float]] = {}
    taken: set[str] = set()
    for score, theirs, column in pairs:
        ours = column.name
        if score >= LIKELY and theirs not in guesses and ours not in taken:
            guesses[theirs] = (ours, score)
            taken.add(ours)
    return guesses


def _likeness(theirs: str, words: Sequence[str], column: Column) -> float:
    """Return how like one of their columns is to one of ours, by its name and by its words."""
    if ALSO_CALLED.get(theirs) == column.name:
        return 0.95
    by_name = SequenceMatcher(None, theirs, column.name).ratio()
    if not column.words or not words:
        return by_name
    known = {word.lower() for word in column.words}
    by_words = sum(plain_word(word) in known for word in words) / len(words)
    return max(by_name, by_words) if by_words else min(by_name, SURE - 0.01)


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


def _column_lines(
    table: Table, guesses: Mapping[str, tuple[str, float]], own: Sequence[str]
) -> list[str]:
    lines = []
    for name in table.columns:
        if name in guesses:
            ours, score = guesses[name]
            lines.append(f"{'' if score >= SURE else '# '}{_quoted(name)} = {_quoted(ours)}")
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
        near = nearest(plain_word(text), known)
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
