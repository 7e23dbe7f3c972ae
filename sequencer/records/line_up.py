"""The batting order of one side: given, or learnt from who came up."""

from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class Order:
    """One side's order.

    `slots` holds a person id for each slot, "" where nobody is known; `due` is the index of the
    slot whose turn it is. While the order is `learning`, a hitter who has not been up yet is its
    next slot; once one comes up again the order is known. `gone` have left the game, `back` have
    come back to it, `starters` began it. `absent` hold a slot but are not there to hit.
    """

    slots: tuple[str, ...] = ()
    due: int = 0
    learning: bool = True
    gone: frozenset[str] = frozenset()
    back: frozenset[str] = frozenset()
    starters: frozenset[str] = frozenset()
    absent: frozenset[str] = frozenset()

    @property
    def next_up(self) -> str:
        """The person whose turn it is, "" when not known."""
        return self.slots[self.due] if self.due < len(self.slots) else ""

    def coming(self, number: int = 3) -> tuple[str, ...]:
        """Return who follows, the one due first, as far as the order is known."""
        round_trip = self.slots[self.due :]
        if not self.learning:
            round_trip += self.slots[: self.due]
        return tuple(held for held in round_trip if held not in self.absent)[:number]

    def slot_of(self, person: str) -> int:
        """Return the slot (1..) a person hits in, or would when he comes up now."""
        return self.slots.index(person) + 1 if person in self.slots else self.due + 1

    def given(self, slot: int, person: str) -> "Order":
        """Return the order with a person in a slot (1..) of a line-up."""
        others = tuple("" if held == person else held for held in self.slots)
        slots = others + ("",) * (slot - len(others))
        slots = _put(slots, slot - 1, person)
        return replace(self, slots=slots, learning=False, starters=self.starters | {person})

    def taking(self, person: str) -> "Order":
        """Return the order with a person at the plate: his turn, wherever it is.

        A newcomer takes the slot that is due; in an order still learnt that is a new slot.
        """
        if person in self.slots:
            at = self.slots.index(person)
            again = self.learning and self.due >= len(self.slots)
            return replace(self, due=at, learning=self.learning and not again)
        if self.due < len(self.slots) and self.slots[self.due]:
            return self.replaced(self.slots[self.due], person)
        slots = self.slots + ("",) * (self.due + 1 - len(self.slots))
        starters = self.starters | {person} if self.learning else self.starters
        return replace(self, slots=_put(slots, self.due, person), starters=starters)

    def after_turn(self) -> "Order":
        """Return the order once the hitter who was due has finished."""
        due = self.due + 1
        return replace(self, due=due if self.learning else due % max(len(self.slots), 1))

    def without(self, person: str) -> "Order":
        """Return the order with a person of it not there to hit."""
        return replace(self, absent=self.absent | {person})

    def with_again(self, person: str) -> "Order":
        """Return the order with a person there again."""
        return replace(self, absent=self.absent - {person})

    def replaced(self, out: str, person: str) -> "Order":
        """Return the order with one person in another's slot."""
        if out not in self.slots:
            return self
        slots = tuple(person if held == out else held for held in self.slots)
        back = self.back | {person} if person in self.gone else self.back
        return replace(self, slots=slots, gone=(self.gone | {out}) - {person}, back=back)

    def renamed(self, old: str, person: str) -> "Order":
        """Return the order with an unnamed hitter now known by name."""
        if person in self.slots:
            kept = tuple(held for held in self.slots if held != old)
            return replace(self, slots=kept, due=kept.index(person), learning=False)
        return replace(self, slots=tuple(person if held == old else held for held in self.slots))

    def before_due(self) -> str:
        """Return who of those there hits before the one due, "" when not known."""
        before = self.slots[: self.due]
        if not self.learning:
            before = self.slots[self.due :] + before
        return next((held for held in reversed(before) if held not in self.absent), "")


def _put(slots: tuple[str, ...], index: int, person: str) -> tuple[str, ...]:
    return (*slots[:index], person, *slots[index + 1 :])
