"""Work that does not hang on other work, done on several cores at once."""

import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from typing import Final, TypeVar

Item = TypeVar("Item")

#: Threads at most: NumPy lets go of the interpreter in its larger steps only (measured, 2 cores).
MOST: Final = 4


def side_by_side(work: Callable[[Item], None], items: Sequence[Item]) -> None:
    """Do work for every item, in no order; what it raises is raised here.

    Parameters
    ----------
    work : callable
        Must touch nothing that the work for another item touches.
    items : sequence
    """
    threads = min(len(items), os.cpu_count() or 1, MOST)
    if threads < 2:
        for item in items:
            work(item)
        return
    with ThreadPoolExecutor(threads) as pool:
        for done in [pool.submit(work, item) for item in items]:
            done.result()
