import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from sequencer.records.store import Book, open_book


@pytest.fixture(scope="session")
def blank(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("blank") / "book.db"
    open_book(path).close()
    return path


@pytest.fixture
def book(tmp_path: Path, blank: Path) -> Iterator[Book]:
    shutil.copyfile(blank, tmp_path / "book.db")
    with open_book(tmp_path / "book.db") as opened:
        yield opened
