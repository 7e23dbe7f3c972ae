"""Changing single rules of a game in the book, and what that does to what was logged."""

from collections.abc import Mapping
from typing import Any

from sequencer.baseball.rules import EDITABLE, RuleSet, edited, kept_edits, rule_set, written
from sequencer.errors import IllegalEntry
from sequencer.live.session import Session
from sequencer.records.replay import replay
from sequencer.records.state import State


def change_rules(session: Session, edits: Mapping[str, Any], *, instead: bool = False) -> str:
    """Change rules of the game being logged; returns what changed, "" when nothing did.

    Parameters
    ----------
    edits : mapping of rule -> value
        As `baseball.rules.edited` takes them. The rule set's own value takes an edit back.
    instead : bool
        Whether these are all the game's edits, in place of those it has.

    Raises
    ------
    BadInput
        If a rule is unknown or a value does not fit it.
    IllegalEntry
        If something logged could not have happened by these rules; nothing is changed.
    """
    session.refresh()
    game, before = session.game, session.state
    own = rule_set(game.rules)
    kept = kept_edits(own, edits if instead else {**game.rule_edits, **edits})
    told = _told(before.rules, edited(own, kept))
    if not told:
        return ""
    changed = game.model_copy(update={"rule_edits": kept})
    after = replay(changed, session.people, session.book.rows(game.id))
    worse = [said for said in after.problems if said not in before.problems]
    if worse:
        raise IllegalEntry(
            f"The rules of {game.game} stay as they were: by the new ones {worse[0]}"
        )
    session.book.change_game(game.id, rule_edits=kept)
    session.refresh()
    return f"Rules of {game.game}: {told}.{_moved(before, after)}"


def _told(before: RuleSet, after: RuleSet) -> str:
    pairs = [(rule, getattr(before, rule), getattr(after, rule)) for rule in EDITABLE]
    return ", ".join(
        f"{rule} is {written(now)} (was {written(was)})" for rule, was, now in pairs if was != now
    )


def _moved(before: State, after: State) -> str:
    """Return where the game stands, when the new rules say it stands elsewhere."""
    if all(
        getattr(before, name) == getattr(after, name)
        for name in ("inning", "half", "outs", "score_us", "score_them")
    ):
        return ""
    outs = f"{after.outs} out" + ("" if after.outs == 1 else "s")
    score = f"{after.game.us} {after.score_us}, {after.game.them} {after.score_them}"
    return f" By them it is the {after.half} of inning {after.inning}, {outs}; {score}."
