"""The coach's rules in a game: against everybody and against one hitter, until he proves it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from sequencer.planning.calls import CoachRules
from sequencer.planning.coach import each, in_force, joined, read_rule
from sequencer.planning.context import NO_RULES
from sequencer.records.state import State


@dataclass(frozen=True, slots=True)
class Coaching:
    """Rules as they were said before the game.

    Attributes
    ----------
    every : CoachRules
        Against everybody.
    single : mapping of person's id -> CoachRules
        Against one hitter, beside those: of two halves of the plate his own holds.
    """

    every: CoachRules = NO_RULES
    single: Mapping[str, CoachRules] = field(default_factory=dict)

    def against(self, state: State) -> CoachRules:
        """Return the rules in force against who is up, after what he has seen from us tonight."""
        return joined(*self._now(state))

    def says(self, state: State) -> tuple[str, ...]:
        """Say the rules in force against who is up, and that he has proved one, a line each."""
        now = self._now(state)
        rules = joined(*now)
        words = [*each(rules), *([] if rules.last_pitch else ["the last pitch counts for nothing"])]
        said = [f"{'Rule' if len(words) == 1 else 'Rules'}: {'; '.join(words)}"] if words else []
        before = joined(self.every, self._alone(state))
        if before.one_half and not rules.one_half:
            said.append(f"Proved it {before.one_half}: rule off")
        return tuple(said)

    def _now(self, state: State) -> tuple[CoachRules, CoachRules]:
        """Return what still holds of the rules against everybody, and of those against him."""
        his = _hitter(state)
        seen = [one for one in state.log if state.meant(one.before.hitter) == his]
        return in_force(self.every, seen), in_force(self._alone(state), seen)

    def _alone(self, state: State) -> CoachRules:
        return self.single.get(_hitter(state), NO_RULES)


def _hitter(state: State) -> str:
    return state.meant(state.up.person) if state.up else ""


def read(said: Iterable[tuple[str, str]]) -> Coaching:
    """Read rules as they were said: against whom ("" everybody, else his id), and the words.

    Raises
    ------
    BadInput
        If one is no rule.
    """
    rules: dict[str, CoachRules] = {}
    for whom, words in said:
        rules[whom] = joined(rules.get(whom, NO_RULES), read_rule(words))
    return Coaching(rules.pop("", NO_RULES), rules)


def toggled(said: Sequence[tuple[str, str]], whom: str, words: str) -> tuple[tuple[str, str], ...]:
    """Return rules with one more, or without it where it was said already.

    Of two halves of the plate against the same hitter the one said last holds.

    Parameters
    ----------
    said : sequence of (str, str)
        As `read` takes them.
    whom : str
        "" for everybody, else a person's id.
    words : str
        The rule.

    Raises
    ------
    BadInput
        If it is no rule.
    """
    rule = read_rule(words)
    kept = [one for one in said if one[0] != whom or read_rule(one[1]) != rule]
    if len(kept) < len(said):
        return tuple(kept)
    if rule.one_half:
        kept = [one for one in kept if one[0] != whom or not read_rule(one[1]).one_half]
    return (*kept, (whom, words))


#: No rules at all.
NO_COACHING = Coaching()
