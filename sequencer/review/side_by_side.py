"""The same work for many people: one after another, or in several processes at once.

Processes are copies of this one, so that a log is neither sent nor held twice; only what was found
comes back. Where a system cannot copy a process the work is done one after another.
"""

import multiprocessing
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from typing import Any, Final, TypeVar

Item = TypeVar("Item")
Done = TypeVar("Done")

#: Parts a process takes its work in: so many that none waits long for the last.
_PARTS: Final = 8
#: The work of this process, where it is one of several.
_work: Callable[[Any], Any]


def work_through(
    work: Callable[[Item], Done], items: Sequence[Item], workers: int = 1
) -> list[Done]:
    """Return what work makes of each item, in order.

    Parameters
    ----------
    work : callable
        What it returns hangs on the item alone, and can be pickled.
    items : sequence
        Can be pickled.
    workers : int
        Processes at once; 1 for none but this.
    """
    workers = min(workers, len(items))
    if workers < 2 or "fork" not in multiprocessing.get_all_start_methods():
        return [work(item) for item in items]
    copies = multiprocessing.get_context("fork")
    with ProcessPoolExecutor(workers, copies, initializer=_begin, initargs=(work,)) as pool:
        return list(pool.map(_one, items, chunksize=max(1, len(items) // (workers * _PARTS))))


def _begin(work: Callable[[Any], Any]) -> None:
    from threadpoolctl import threadpool_limits

    global _work
    _work = work
    # processors are shared out already
    threadpool_limits(limits=1)


def _one(item: Any) -> Any:
    return _work(item)
