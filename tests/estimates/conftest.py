"""One thread for linear algebra: test workers share the cores, and threads would only wait."""

from collections.abc import Iterator

import pytest
from threadpoolctl import threadpool_limits


@pytest.fixture(scope="session", autouse=True)
def _one_thread() -> Iterator[None]:
    with threadpool_limits(limits=1):
        yield
