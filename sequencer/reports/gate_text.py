"""What `sequencer gate` found: as JSON holds it, and as a page."""

import textwrap
from typing import Any, Final

from sequencer.baseball.count import COUNTS, Count
from sequencer.planning.gate import POINTS, RUNS, Gate

_WIDTH: Final = 80


def gate_json(gate: Gate, league: str) -> dict[str, Any]:
    """Return a gate as JSON holds it."""
    return {
        "league": league,
        "ok": gate.ok,
        "says": gate.says,
        "worst": gate.worst,
        "counts": {
            str(count): {
                "value": gate.values[count],
                "counted": gate.counted[count],
                "ok": _count_ok(gate, count),
            }
            for count in COUNTS
        },
        "strikeouts": _share_json(gate.strikeouts, gate.counted_strikeouts),
        "walks": _share_json(gate.walks, gate.counted_walks),
    }


def _count_ok(gate: Gate, count: Count) -> bool:
    return abs(gate.values[count] - gate.counted[count]) <= RUNS


def _share_json(ours: float, counted: float) -> dict[str, Any]:
    return {"value": ours, "counted": counted, "ok": abs(ours - counted) <= POINTS}


def gate_text(gate: Gate, league: str) -> str:
    """Return a gate as a page."""
    out = [
        f"{league}, professional calls against professional hitters.",
        "",
        f"{'count':<26}{'ours':>9}{'counted':>9}{'apart':>9}",
    ]
    for count in COUNTS:
        out.append(
            _gate_line(f"{count}, runs over 0-0", gate.values[count], gate.counted[count], RUNS, 3)
        )
    for what, ours, counted in (
        ("strikeouts", gate.strikeouts, gate.counted_strikeouts),
        ("walks", gate.walks, gate.counted_walks),
    ):
        out.append(_gate_line(f"{what} in 100", 100 * ours, 100 * counted, 100 * POINTS, 1))
    passed = "It passes" if gate.ok else "It does not pass"
    return "\n".join([*out, "", *textwrap.wrap(f"{passed}: {gate.says}.", _WIDTH)]) + "\n"


def _gate_line(what: str, ours: float, counted: float, most: float, digits: int) -> str:
    ok = "ok" if abs(ours - counted) <= most else "too far"
    numbers = "".join(
        f"{x:>+9.{digits}f}" if digits == 3 else f"{x:>9.{digits}f}"
        for x in (ours, counted, ours - counted)
    )
    return f"{what:<26}{numbers}  {ok}"
