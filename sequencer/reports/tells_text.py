"""Tells as a section of a page, 80 columns wide."""

from collections.abc import Container, Iterable, Sequence
from textwrap import wrap

from sequencer.reports.lines import WIDTH
from sequencer.review.tells import MeasuredTell, PitcherTells, SeenTell

NOTHING = (
    "No tells were noted. In the dugout and in a bullpen two keys note what gives a pitch away, or "
    "that it was watched for and not seen (their help names them); in a file the columns tells and "
    "tells_watched do. A number is a measured one (glove height=31)."
)


def tells_text(tells: Sequence[PitcherTells]) -> str:
    """Lay tells out for reading.

    Parameters
    ----------
    tells : sequence of PitcherTells
        As of `review.tells.tells_of`.

    Returns
    -------
    str
        Lines of at most 80 columns, with a line break at the end.
    """
    return "\n".join(tells_lines(tells)) + "\n"


def tells_lines(tells: Sequence[PitcherTells]) -> list[str]:
    """Return the section's lines; see `tells_text`."""
    lines = ["Tells", "====="]
    if not tells:
        return [*lines, *_wrap(NOTHING)]
    for number, each in enumerate(tells):
        lines += ["", *_one(each)] if number else _one(each)
    return lines


def _one(tells: PitcherTells) -> list[str]:
    units = "one game or bullpen" if tells.units == 1 else f"{tells.units} games and bullpens"
    pitches = "1 pitch" if tells.watched == 1 else f"{tells.watched} pitches"
    lines = _wrap(f"{tells.pitcher}: {pitches} watched in {units}")
    for note in tells.notes:
        lines += _wrap(note)
    found: list[SeenTell | MeasuredTell] = [*tells.seen, *tells.measured]
    flagged = [each for each in found if each.flagged]
    if found and not flagged:
        lines += ["", "No tell found that an opponent could use."]
    lines += [""] if flagged else []
    for number, each in enumerate((each for each in flagged if not each.same_as), start=1):
        lines += _wrap(each.says, first=f"{number}. ", rest="   ")
        lines += _wrap(each.fix, first="   ", rest="   ")
    if any(each.same_as for each in flagged):
        lines += ["", "The same tells seen another way:"]
        lines += _bullets(each.says for each in flagged if each.same_as)
    if quiet := _quiet(found, {each.tell for each in flagged}):
        lines += ["", "Watched, and not sure:", *_bullets(quiet)]
    if tells.agreement:
        lines += ["", "Do two people see the same?"]
        lines += _bullets(each.says for each in tells.agreement)
    return lines


def _quiet(found: Iterable[SeenTell | MeasuredTell], flagged: Container[str]) -> list[str]:
    """Return one sentence for every tell that is flagged on no type: of its likeliest."""
    first: dict[str, str] = {}
    for each in found:
        if each.tell not in flagged:
            first.setdefault(each.tell, each.says)
    return list(first.values())


def _wrap(text: str, *, first: str = "", rest: str = "") -> list[str]:
    return wrap(text, WIDTH, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False)


def _bullets(sentences: Iterable[str]) -> list[str]:
    return [line for each in sentences for line in _wrap(each, first="- ", rest="  ")]
