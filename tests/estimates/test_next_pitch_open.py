"""The reader on two long open series: what he reaches held out, and nothing on shuffled types."""

import numpy as np
import pytest
from sklearn.metrics import log_loss

from sequencer.estimates.next_pitch import MINDS, Forward, Watched, forward
from tests import open_data
from tests.estimates import readers_open

pytestmark = pytest.mark.skipif(bool(open_data.MISSING), reason=open_data.MISSING or "present")

Series = dict[str, tuple[Watched, Forward]]


@pytest.fixture(scope="module")
def read() -> Series:
    logs = readers_open.series()
    return {name: (log, forward(log.seen()[0])) for name, log in logs.items()}


def pooled(read: Series, mind: str = "") -> float:
    """Return mean nats on the last three tenths of both series."""
    losses = []
    for log, found in read.values():
        chances = found.minds[mind] if mind else found.reader
        losses.append(found.nats(chances)[readers_open.last_part(len(log))])
    return float(np.concatenate(losses).mean())


def test_the_series_have_the_types_of_the_file(read: Series) -> None:
    assert [len(log.types()) for log, _ in read.values()] == [5, 4]
    assert sum(len(log) for log, _ in read.values()) == 24_420


def test_held_out_the_reader_loses_less_than_tables_reach(read: Series) -> None:
    # tables by count, side and last pitch, smoothed, reach 1.270 nats; he reaches 1.172
    assert pooled(read) < 1.185


def test_held_out_the_reader_loses_less_than_any_mind_of_his(read: Series) -> None:
    assert pooled(read) < min(pooled(read, mind.name) for mind in MINDS)
    assert pooled(read, "favourite") - pooled(read, "favourite of late") > 0.05


def test_held_out_losses_are_those_of_scikit_learn(read: Series) -> None:
    for log, found in read.values():
        late = readers_open.last_part(len(log))
        labels = list(range(found.reader.shape[1]))
        expected = log_loss(found.label[late], found.reader[late], labels=labels)
        assert found.nats(found.reader)[late].mean() == pytest.approx(expected)


@pytest.mark.parametrize(("pitches", "repeats"), [(100, 100), (300, 60), (3000, 12)])
def test_nothing_is_read_in_shuffled_types(read: Series, pitches: int, repeats: int) -> None:
    logs = {name: log for name, (log, _) in read.items()}
    skill, error = readers_open.shuffled_skill(logs, pitches, repeats)
    assert (skill <= 2 * error).all()
