"""Every action of the dugout as a line: for who uses a screen reader, or would rather type."""

from itertools import chain
from textwrap import wrap
from typing import Final

#: Widest line of a block of help on a screen 80 wide.
_WIDTH: Final = 66

#: What a key of the dugout does -> the line that does the same, as `:` and `log --plain` take it.
LINES: Final[dict[tuple[str, str], str]] = {
    ("result", "pitch"): "changeup, down-away, swinging strike",
    ("result", "play"): "fastball, belt-in, in play, play=single",
    ("result", "catcher's interference"): "fastball, unknown, catcher's interference",
    ("result", "automatic ball"): "unknown, unknown, automatic ball",
    ("result", "automatic strike"): "unknown, unknown, automatic strike",
    ("shown", "shown"): "fastball, up-in, foul, called=fastball, target=in",
    ("note", "contact"): "fastball, up-in, foul, contact=weak",
    ("note", "timing"): "fastball, up-in, foul, timing=late",
    ("note", "bunt"): "fastball, up-in, foul, bunt=1",
    ("note", "third_strike"): "curveball, down-away, swinging strike, third_strike=dropped",
    ("prefix", "fielders"): "fastball, belt-in, in play, play=out, fielders=6-3, flight=ground",
    ("prefix", "tell"): "changeup, down-away, ball, tells=arm slows",
    ("prefix", "no tell"): "changeup, down-away, ball, tells_watched=arm slows",
    ("prefix", "target"): "changeup, down-away, ball, target=low-away",
    ("prefix", "hitter"): "at 27 R",
    ("prefix", "runner"): "runner 1-2 steal",
    ("prefix", "switch"): "sub Reed for Cole, or: sub courtesy Reed for Cole",
    ("switch", "runner"): "sub Reed for Cole",
    ("switch", "catcher"): "catcher NAME",
    ("switch", "throws"): "throws L, or: throws R injury",
    ("switch", "visit"): "visit",
    ("switch", "absent"): "absent Cole",
    ("switch", "score"): "score 3 2",
    ("switch", "note"): "note windy",
    ("prefix", "count"): "count 2-1",
    ("prefix", "half"): "end half",
    ("prefix", "walk"): "walk intentional",
    ("prefix", "move"): "correct 12 moves=1-3",
    ("prefix", "amend"): "correct 12 pitch=slider, contact=weak",
    ("prefix", "pitch count"): "pitches 47",
    ("prefix", "there"): "lacks curveball, or: has curveball",
    ("command", "undo"): "undo",
    ("command", "redo"): "redo",
    ("command", "insert"): "insert 9 fastball, up-in, ball",
    ("mark", "remove"): "remove 12, or: remove 12 steal",
    ("mark", "correct"): "correct 12 result=foul, or: replace 12 steal with runner 1-2 advance",
    ("command", "next three"): "next three",
    ("command", "pitcher"): "pitcher NAME",
    ("command", "draw"): "call",
    ("command", "score only"): "advice off, or: advice on",
    ("command", "line"): "note windy",
    ("rule", "every"): "rule no changeup with two strikes",
    ("rule", "hitter"): "rule inner half only against 27",
    ("rule", "in force"): "rules, or: rules off",
}
#: Lines that the screen itself carries out in the dugout: the line -> the command it is.
OF_THE_SCREEN: Final = {
    "call": "draw",
    "next three": "next three",
    "advice off": "advice off",
    "advice on": "advice on",
}


def lines_block() -> str:
    """Return every action of the dugout as a line, for help."""
    lines = (wrap(line, _WIDTH, subsequent_indent="    ") for line in dict.fromkeys(LINES.values()))
    return "```text\n" + "\n".join(chain.from_iterable(lines)) + "\n```"
