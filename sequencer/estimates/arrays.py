"""Names for the arrays that estimates pass about."""

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]
Ints: TypeAlias = NDArray[np.intp]
Bools: TypeAlias = NDArray[np.bool_]


def expit(log_odds: Floats) -> Floats:
    """Return probabilities of log odds, without overflow at either end."""
    return np.asarray(0.5 * (1.0 + np.tanh(0.5 * log_odds)), dtype=np.float64)


def logit(share: Floats | float) -> Floats:
    """Return log odds of probabilities, kept a billionth away from nought and one."""
    kept = np.clip(np.asarray(share, dtype=np.float64), 1e-9, 1.0 - 1e-9)
    return np.asarray(np.log(kept) - np.log1p(-kept), dtype=np.float64)
