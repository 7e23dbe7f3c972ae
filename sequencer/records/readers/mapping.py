"""A mapping file turns anyone's table into ours: their column -> ours, their word -> ours."""

import tomllib
from collections.abc import Callable, Sequence
from pathlib import Path

from pydantic import BaseModel, ConfigDict, Field, ValidationError, field_validator

from sequencer.errors import BadInput
from sequencer.records.columns import Column, names, nearest, plain_word
from sequencer.records.readers.table import Table, column_name


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
    ours = our_names(table, mapping, columns)
    respell = respelled(mapping)
    fixed = {name: value for name, value in mapping.values.items() if name not in ours.values()}
    rows = [
        (
            line,
            fixed | {ours[n]: respell(ours[n], t) for n, t in row.items() if n in ours},
        )
        for line, row in table.rows
    ]
    kept = tuple(dict.fromkeys((*ours.values(), *fixed)))
    return Table(table.path, kept, rows, table.bad, table.warnings)


def our_names(table: Table, mapping: MappingFile, columns: Sequence[Column]) -> dict[str, str]:
    """Return {column of the file: our column}; our own names pass unless mapped otherwise.

    Raises
    ------
    BadInput
        If the mapping names a column that is not in the file or not one of ours.
    """
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


def respelled(mapping: MappingFile) -> Callable[[str, str], str]:
    """Return what turns (our column, their text) into our text."""
    spelled = {
        name: {plain_word(theirs): word for theirs, word in words.items()}
        for name, words in mapping.words.items()
    }

    def respell(name: str, text: str) -> str:
        text = spelled[name].get(plain_word(text), text) if name in spelled else text
        factor = mapping.units.get(name)
        if factor is None or not text.strip():
            return text
        try:
            return repr(float(text) * factor)
        except ValueError:
            return text  # the column's own reading names what is wrong with it

    return respell
