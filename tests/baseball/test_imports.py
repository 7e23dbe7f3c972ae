import subprocess
import sys

HEAVY = ("numpy", "pandas", "scipy", "pydantic", "sqlalchemy", "textual")
FLOOR = (
    "advancing",
    "count",
    "levels",
    "marks",
    "pitch_limits",
    "rules",
    "runs",
    "situation",
    "zone",
)


def test_the_ground_floor_loads_nothing_heavy() -> None:
    imports = ", ".join(f"sequencer.baseball.{name}" for name in FLOOR)
    code = f"import sys, {imports}; print(*[m for m in {HEAVY!r} if m in sys.modules])"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )
    assert done.stdout.strip() == ""
