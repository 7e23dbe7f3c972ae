"""The game behind a plan in one file of arrays, so that anyone can solve it again."""

from pathlib import Path

import numpy as np

from sequencer.errors import BadInput
from sequencer.planning.arrays import Floats
from sequencer.planning.solved import Solved


def save_tables(solved: Solved, path: str | Path, *mixes: Floats) -> None:
    """Write a solved game as a compressed .npz.

    Arrays: ``outcomes``, ``end_runs``, ``call_runs``, ``habit``, ``next_last``, ``allowed``,
    ``calls``, ``looks``, ``lasts``, ``walk``, ``strikeout``, ``hit_by_pitch``, ``trust``, ``value``
    (of the exact solution at this trust) and ``mix`` (as printed). Looks that neither side's
    solution, the habit nor a best reply to one of the mixes plays are left out.

    Parameters
    ----------
    solved : Solved
    path : str or Path
        The file; .npz is added to a name without an ending.
    mixes : arrays (hitters, 4, 3, lasts, calls)
        Other mixes to which a reader may want the best reply, such as the cards'.

    Raises
    ------
    BadInput
        If the file cannot be written.
    """
    file = Path(path)
    if file.suffix != ".npz":
        file = file.with_name(file.name + ".npz")
    tables = solved.tables.with_looks(solved.used_looks(*mixes))
    try:
        with file.open("wb") as out:
            np.savez_compressed(
                out,
                outcomes=tables.outcomes,
                end_runs=tables.end_runs,
                call_runs=tables.call_runs,
                habit=tables.habit,
                next_last=tables.next_last,
                allowed=tables.allowed,
                calls=np.array([str(call) for call in tables.calls]),
                looks=np.array([str(look) for look in tables.looks]),
                lasts=np.array(tables.lasts),
                walk=tables.stakes.walk,
                strikeout=tables.stakes.strikeout,
                hit_by_pitch=tables.stakes.hit_by_pitch,
                trust=solved.trust if np.ptp(solved.trust) else solved.trust[0],
                value=solved.value,
                mix=solved.mix,
            )
    except OSError as error:
        raise BadInput(
            f"The tables cannot be written to {file} ({error.strerror}): name another file."
        ) from error
