"""Who is up, the count, outs and bases: large, and readable without colour."""

from rich.text import Text
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.widgets import Digits, Static

from tui.views import DugoutView

_SIDES = {"R": "hits right", "L": "hits left", "": "side not said"}
_WHO = "Who is up? # number R/L"
_OUTS = ("no outs", "1 out", "2 outs", "3 outs")


def bases_lines(bases: tuple[str, str, str]) -> tuple[str, str, str]:
    """Draw the bases: a full diamond and the runner's name, or an empty one."""
    first, second, third = ("◆" if runner else "◇" for runner in bases)
    names = [
        f"{base} {runner}"
        for base, runner in zip(("1st", "2nd", "3rd"), bases, strict=True)
        if runner
    ]
    return f"  {second}", f"{third}   {first}", ", ".join(names) or "bases empty"


def outs_words(outs: int) -> str:
    """Say the outs, with a mark for each."""
    return "●" * outs + "○" * (3 - outs) + " " + _OUTS[min(outs, 3)]


class Scoreboard(Vertical):
    """The left side of the dugout."""

    def compose(self) -> ComposeResult:
        """Lay out number and count, what they are, bases, who is next."""
        yield Static(id="up-name", markup=False)
        with Horizontal(classes="big"):
            yield Digits(id="up-number")
            yield Digits(id="count")
        with Horizontal(classes="said"):
            yield Static(id="up-side", markup=False)
            yield Static(id="outs", markup=False)
        with Horizontal(classes="around"):
            yield Static(id="bases", markup=False)
            yield Static(id="due", markup=False)
        yield Static(id="on-base", markup=False)

    def show(self, view: DugoutView) -> None:
        """Draw the state of the game."""
        self._text("#up-name", f"Up: {view.up_name}" if view.up_name else _WHO)
        self.query_one("#up-number", Digits).update(view.up_number or "-")
        self._text("#up-side", _SIDES[view.bats] if view.up_name else "")
        self.query_one("#count", Digits).update(f"{view.balls}-{view.strikes}")
        self._text("#outs", outs_words(view.outs))
        *diamond, on_base = bases_lines(view.bases)
        self._text("#bases", "\n".join(("Next", *diamond)))
        self._text("#on-base", on_base)
        self._text("#due", "\n".join(view.due or ("not known yet",)))

    def _text(self, where: str, words: str) -> None:
        self.query_one(where, Static).update(Text(words, overflow="ellipsis", no_wrap=True))
