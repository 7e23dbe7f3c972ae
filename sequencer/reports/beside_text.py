"""What stands beside a plan in a real situation, as lines of text."""

from collections.abc import Iterator

from sequencer.planning.beside import Beside


def beside_lines(beside: Beside) -> Iterator[str]:
    """Yield the ways there are with their runs, each in a plain sentence."""
    if beside.win is not None:
        yield f"they win {100.0 * beside.win:.0f} in 100 from here{_unit(beside)}"
    ways = (
        ("pitching to him", beside.plan),
        ("pitching around him", beside.pitch_around),
        ("walking him", beside.walk),
    )
    yield "runs he is worth: " + ", ".join(f"{way} {runs:+.2f}" for way, runs in ways)
    yield from beside.says()


def _unit(beside: Beside) -> str:
    if beside.by_win:
        return "; a run here is as much as one run wins at the start of an even game"
    return ", as good as decided: told by runs alone"
