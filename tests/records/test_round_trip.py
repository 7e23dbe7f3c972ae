from pathlib import Path

import pandas as pd
import pytest

from sequencer.records.frames import bullpen_frame, event_frame, pitch_frame
from sequencer.records.readers import import_file
from sequencer.records.store import open_book
from sequencer.records.writers import WRITERS, export_book
from tests.records import rich_book


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


@pytest.mark.parametrize("fmt", list(WRITERS))
def test_export_then_import_gives_the_same_book(tmp_path: Path, fmt: str) -> None:
    with open_book(tmp_path / "one.db") as one, open_book(tmp_path / "two.db") as two:
        rich_book.fill(one)
        export_book(one, tmp_path / "first", fmt)
        done = import_file(two, tmp_path / "first")
        assert done.bad == ()
        assert done.warnings == ()
        export_book(two, tmp_path / "second", fmt)
        assert contents(tmp_path / "first") == contents(tmp_path / "second")
        assert two.games() == one.games()
        assert two.people() == one.people()
        assert two.teams() == one.teams()
        assert two.bullpens() == one.bullpens()
        for frame in (pitch_frame, event_frame, bullpen_frame):
            pd.testing.assert_frame_equal(frame(one), frame(two))
        assert len(pitch_frame(one)) > 15
        assert len(event_frame(one)) > 20
