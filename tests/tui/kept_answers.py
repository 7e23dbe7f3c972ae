"""Real plans, reviews and advice, each worked out once for all tests of a process.

What is asked twice of books that began alike is answered alike: the contract of the screens looks
at how answers are drawn, and every answer it looks at was computed. Plans at another trust or by
rules, and which calls are coin flips, take many seconds and are refused unless all is computed; a
plan is of three hitters then, as real as any.
"""

import pickle
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

from sequencer.errors import BadInput
from tui.thinking import Thinker
from tui.views import BY_BOOK, PlanStamp

#: What takes time; everything else is passed on.
KEPT: Final = frozenset(
    {
        *("advise_at_once", "advise", "beside", "traits", "page", "plan", "of_plan", "history"),
        *("review", "review_whom"),
    }
)
#: Hitters a plan is worked out for, unless all is computed.
_HITTERS: Final = 3
_answers: Final[dict[tuple[str, str, bytes], Any]] = {}


class Kept:
    """A thinker that remembers, for every book of one kind, what it has answered.

    Parameters
    ----------
    book : str
        The book; its kind is the name of its file.
    all_of_it : bool
        Whether every plan is computed.
    """

    def __init__(self, book: str, *, all_of_it: bool = False) -> None:
        self._kind, self._thinker, self._all = Path(book).stem, Thinker(book), all_of_it

    def __getattr__(self, name: str) -> Any:
        work = getattr(self._thinker, name)
        return self._remembering(name, work) if name in KEPT else work

    def _remembering(self, name: str, work: Callable[..., Any]) -> Callable[..., Any]:
        def answer(*asked: Any) -> Any:
            plain = tuple(one for one in asked if not callable(one))
            stamps = [one for one in plain if isinstance(one, PlanStamp)]
            dear = any(one.rules or one.trust != BY_BOOK for one in stamps)
            if not self._all and (dear or "coin flips" in plain):
                raise BadInput("This plan is left out of this test.")
            if name == "plan" and not self._all:
                stamp, hitters, told = asked
                asked = stamp, hitters[:_HITTERS], told
            key = self._kind, name, pickle.dumps(plain)
            if key not in _answers:
                _answers[key] = work(*asked)
            return _answers[key]

        return answer
