"""Random keys never end the program and never lose a pitch."""

from pathlib import Path

import pytest

from tests.tui import monkey


@pytest.mark.parametrize("seed", [1, 2, 3])
async def test_random_keys_never_end_the_program_nor_lose_a_pitch(
    tmp_path: Path, seed: int
) -> None:
    heard = await monkey.run(tmp_path, 500, seed, advice="no")
    assert len(heard.saved) > 50 and heard.refused > 0


def test_pitches_that_are_not_in_the_book_in_their_order_are_told() -> None:
    assert monkey.in_order(["ball", "foul"], ["ball", "ball", "foul"])
    assert not monkey.in_order(["ball", "foul"], ["foul", "ball"])
    assert not monkey.in_order(["ball", "ball"], ["ball"])
