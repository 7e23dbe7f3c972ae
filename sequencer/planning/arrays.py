"""Names for the arrays that planning passes about."""

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]
Ints: TypeAlias = NDArray[np.intp]
Bools: TypeAlias = NDArray[np.bool_]
