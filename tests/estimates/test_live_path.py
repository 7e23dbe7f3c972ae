"""Planning evaluates beliefs in NumPy alone; the fitting libraries stay unloaded."""

import subprocess
import sys

_CODE = """
import sys
from sequencer.estimates import arsenal, command, hitter, league
league.load("17-18").steps("fast", 0.0, 0.0, 0, 0, 1)
hitter.average("17-18"), command.average("17-18")
heavy = {"sklearn", "scipy", "pandas", "pydantic", "sqlalchemy"} & set(sys.modules)
sys.exit(", ".join(sorted(heavy)) or 0)
"""


def test_league_hitter_and_pitcher_load_no_fitting_library() -> None:
    done = subprocess.run(
        [sys.executable, "-c", _CODE], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
