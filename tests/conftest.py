"""One thread for linear algebra: test workers share the cores, and threads would only wait.

Set before numpy is first imported; the processes that tests start inherit it.
"""

import os

for _library in ("OPENBLAS", "OMP", "MKL"):
    os.environ.setdefault(f"{_library}_NUM_THREADS", "1")
