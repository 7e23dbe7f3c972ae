import shutil
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sequencer.errors import CoachError
from sequencer.records.columns import EVENT_COLUMNS, PITCH_COLUMNS, TABLES, Column
from sequencer.records.readers import READERS, draft_mapping, import_file
from sequencer.records.store import open_book
from tests.records.readers.helpers import HEADER, ROWS

QUIET = settings(
    deadline=None,
    max_examples=40,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
ODD = st.sampled_from(
    ["", "0", "1", "-1", "1e400", "nan", "6", "'", '"', "’", "#7", "?", "#", ";", "=", "a;b", " ",
     "us", "them", "R", "L", "ball", "in play", "foul", "double play", "fastball", "top", "bottom",
     "down-away", "left", "2026-04-18", "9999-99-99", "steal", "count", "half ended", "at", "2-1",
     "opener", "١", "\u2028", "x" * 300, "home", "3", "1-3;2-home", "g?us?1"]
)  # fmt: skip
TEXT = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=12)


GOOD = {
    "int": st.sampled_from(["1", "2", "0", "3", ""]),
    "float": st.sampled_from(["12.5", "-3", "30", ""]),
    "flag": st.sampled_from(["0", "1", ""]),
    "date": st.sampled_from(["2026-04-18", "2026-04-19", ""]),
    "text": st.sampled_from(["opener", "Ash Reed", "Lew Toll", "Sam #7", "#7", "7", "a1", ""]),
    "base": st.sampled_from(["", "0", "1", "Lew Toll", "#7"]),
    "list": st.sampled_from(["", "glove", "glove; arm", "extends", "good eye: always"]),
    "tells": st.sampled_from(["", "glove", "arm slws; hold=1.5", "glove height=31"]),
}


def cell(column: Column) -> st.SearchStrategy[str]:
    """Nine times in ten a text the column can hold."""
    good = st.sampled_from(["", *column.words]) if column.words else GOOD[column.kind]
    return st.integers(0, 9).flatmap(lambda n: good if n else ODD | TEXT)


def table(columns: tuple[Column, ...]) -> st.SearchStrategy[str]:
    """A CSV text with every needed header, some others, and cells of any kind."""
    needed = [column.name for column in columns if column.required]
    others = [column.name for column in columns if not column.required]

    @st.composite
    def build(draw: st.DrawFn) -> str:
        some = draw(st.lists(st.sampled_from(others), unique=True, max_size=12))
        names = [*needed, *some]
        by_name = {column.name: column for column in columns}
        rows = draw(st.lists(st.tuples(*(cell(by_name[name]) for name in names)), max_size=6))
        quoted = [",".join('"' + c.replace('"', '""') + '"' for c in row) for row in rows]
        return "\n".join([",".join(names), *quoted]) + "\n"

    return build()


def reads_or_says_why(folder: Path, blank: Path, path: Path, **options: object) -> None:
    for keep_good in (False, True):
        shutil.copyfile(blank, folder / "fuzz.db")
        with open_book(folder / "fuzz.db") as book:
            try:
                done = import_file(book, path, keep_good=keep_good, **options)  # type: ignore[arg-type]
            except CoachError as error:
                assert "\n" not in str(error) or '"' in str(error)
            else:
                assert all(bad.line >= 1 and bad.reason for bad in done.bad)
                if done.bad and not keep_good:
                    assert done.added == 0
                    assert book.people() == [] and book.games() == []


@QUIET
@given(content=st.binary(max_size=300))
def test_any_bytes_are_read_or_refused_in_a_sentence(
    tmp_path: Path, blank: Path, content: bytes
) -> None:
    for ending in ("csv", "jsonl", "parquet"):
        path = tmp_path / f"log.{ending}"
        path.write_bytes(content)
        reads_or_says_why(tmp_path, blank, path)
        try:
            draft_mapping(path)
        except CoachError:
            continue


@QUIET
@given(text=table(PITCH_COLUMNS), events=table(EVENT_COLUMNS))
def test_any_pitch_log_and_events_are_read_or_refused(
    tmp_path: Path, blank: Path, text: str, events: str
) -> None:
    (tmp_path / "log.csv").write_text(text, encoding="utf-8", newline="")
    (tmp_path / "events.csv").write_text(events, encoding="utf-8", newline="")
    reads_or_says_why(tmp_path, blank, tmp_path / "log.csv", events=tmp_path / "events.csv")


@QUIET
@given(data=st.data(), kind=st.sampled_from(["hitters", "bullpen"]))
def test_any_hitters_or_bullpens_are_read_or_refused(
    tmp_path: Path, blank: Path, data: st.DataObject, kind: str
) -> None:
    path = tmp_path / "file.csv"
    path.write_text(data.draw(table(READERS[kind].columns)), encoding="utf-8", newline="")
    reads_or_says_why(tmp_path, blank, path, kind=kind)


@QUIET
@given(data=st.data())
def test_any_folder_of_tables_is_read_or_refused(
    tmp_path: Path, blank: Path, data: st.DataObject
) -> None:
    folder = tmp_path / "export"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    for name in data.draw(st.sets(st.sampled_from(list(TABLES)), min_size=1)):
        text = data.draw(table(TABLES[name]))
        (folder / f"{name}.csv").write_text(text, encoding="utf-8", newline="")
    reads_or_says_why(tmp_path, blank, folder)


@QUIET
@given(
    row=st.integers(0, len(ROWS) - 1),
    place=st.integers(0, HEADER.count(",")),
    text=ODD | TEXT.map(lambda t: t.replace(",", "").replace('"', "").strip()),
)
def test_one_odd_cell_in_a_good_log_never_loses_the_other_rows(
    tmp_path: Path, blank: Path, row: int, place: int, text: str
) -> None:
    cells = ROWS[row].split(",")
    cells[place] = f'"{text}"' if '"' not in text else text.replace('"', "")
    rows = [*ROWS[:row], ",".join(cells), *ROWS[row + 1 :]]
    path = tmp_path / "log.csv"
    path.write_text("\n".join((HEADER, *rows)) + "\n", encoding="utf-8", newline="")
    reads_or_says_why(tmp_path, blank, path)
