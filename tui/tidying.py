"""Garbage looked for while nobody types: going through all there is would hold up a key."""

import gc
import time
from typing import Any, Final

#: Seconds without a key after which nobody is taken to be typing, and between two looks at that.
_QUIET_S, _LOOK_S = 1.0, 0.25
#: Middle collections after which there is enough to look through everything that is new.
_MANY: Final = 1
#: Python's own thresholds, but for the last: of itself it looks through everything almost never.
_SELDOM: Final = 1000


class Tidying:
    """When garbage is collected while an app runs.

    What stays for good (modules, places once they are shown) is put aside and never looked through
    again; what came since is, once it is quiet.
    """

    def __init__(self) -> None:
        self._typed = time.monotonic()
        self._stays = True
        self._before = gc.get_threshold()

    def begin(self, app: Any) -> None:
        """Take over from Python while an app runs."""
        gc.set_threshold(*self._before[:2], _SELDOM)
        app.set_interval(_LOOK_S, lambda: self._look(alone=len(app.screen_stack) == 1))

    def end(self) -> None:
        """Leave it to Python again."""
        gc.set_threshold(*self._before)
        gc.unfreeze()

    def typed(self) -> None:
        """Take note that somebody types."""
        self._typed = time.monotonic()

    def stays(self) -> None:
        """Take note that there is more from now on that stays for good."""
        self._stays = True

    def _look(self, *, alone: bool) -> None:
        """Put aside what stays, collect the rest; an open dialog goes again, so nothing is put."""
        if time.monotonic() - self._typed < _QUIET_S:
            return
        if self._stays and alone:
            self._stays = False
            gc.freeze()
        elif gc.get_count()[2] >= _MANY:
            gc.collect()
