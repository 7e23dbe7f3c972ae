"""Two pitchers for tonight, side by side, as a page of 80 columns."""

from textwrap import shorten

from sequencer.planning.arrays import Floats
from sequencer.planning.two_pitchers import TwoPitchers
from sequencer.reports.lines import indented

_NAME, _RUNS = 26, 16


def two_pitchers_text(two: TwoPitchers) -> str:
    """Return who for tonight, then every hitter; runs per 100 plate appearances."""
    first, second = two.pitchers
    lines = [f"{first} or {second}", "=" * (len(first) + len(second) + 4), ""]
    lines += [line[2:] for line in indented([two.says])]
    one, other = (shorten(name, _RUNS - 2, placeholder="..") for name in two.pitchers)
    lines += ["", _row("runs in 100", one, other, "first saves")]
    for i, name in enumerate(two.hitters):
        lines.append(_numbers(name, two.runs[:, i], two.saved[i], two.doubt[i]))
    lines.append(_numbers("the line-up", two.runs.mean(axis=1), *two.line_up))
    lines += ["", "Runs a hitter who knows the plan makes over an average plate appearance; +/- is"]
    lines += ["what one standard deviation of what is not known of how far each spreads moves."]
    return "\n".join(lines) + "\n"


def _numbers(name: str, runs: Floats, saved: float, doubt: float) -> str:
    return _row(name, f"{runs[0]:+.1f}", f"{runs[1]:+.1f}", f"{saved:+.1f} +/-{doubt:.1f}")


def _row(name: str, one: str, other: str, saved: str) -> str:
    called = shorten(name, _NAME, placeholder="..")
    return f"{called:<{_NAME}}{one:>{_RUNS}}{other:>{_RUNS}}{saved:>{_RUNS + 4}}".rstrip()
