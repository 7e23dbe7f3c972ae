"""The coach's rules as lines: `rule WORDS against WHO`, `rules`, `rules off`."""

from collections.abc import Sequence

from sequencer.errors import NotInBook
from sequencer.live.session import Session
from sequencer.live.who import found
from sequencer.records.plain import Said
from sequencer.records.state import State

Rules = tuple[tuple[str, str], ...]


def rules_after(session: Session, rules: Sequence[tuple[str, str]], heard: Said) -> Rules:
    """Return the rules after a line: one more, one less, or none.

    Parameters
    ----------
    session : Session
        The game, for who is meant.
    rules : sequence of (str, str)
        Against whom ("" everybody, else his id), and the words.
    heard : Said
        A `rule`, or `rules off`.

    Raises
    ------
    BadInput
        If it is no rule.
    NotInBook
        If nobody, or more than one, is meant.
    """
    from sequencer.live.coaching import toggled

    if heard.what == "rules":
        return ()
    return toggled(rules, _whom(session, heard.who), heard.text)


def in_force(state: State, rules: Sequence[tuple[str, str]]) -> str:
    """Say the rules, each with whom it is against, or that there are none."""
    said = [f"{words} against {state.label(who)}" if who else words for who, words in rules]
    return "; ".join(said) or "none"


def _whom(session: Session, text: str) -> str:
    if not text:
        return ""
    meant = found(session, "them", text)
    if not meant:
        raise NotInBook(f"Nobody of the other side is called {text}: a rule is against a hitter.")
    if len(meant) > 1:
        raise NotInBook(f"More than one of the other side is called {text}: say name and number.")
    return meant[0].id
