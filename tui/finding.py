"""What the palette can find in a book: people and games, matched as they are typed."""

import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

Kind = Literal["hitter", "pitcher", "game"]


@dataclass(frozen=True, slots=True)
class Findable:
    """Someone or something that can be opened.

    Attributes
    ----------
    kind : {"hitter", "pitcher", "game"}
    id : str
    says : str
        Its line in the palette.
    help : str
        What opening it does.
    words : tuple of str
        What it answers to, folded (see `folded`).
    """

    kind: Kind
    id: str
    says: str
    help: str
    words: tuple[str, ...]


class Found(NamedTuple):
    """Something found, and how well it fits what was typed: 1 exactly, toward 0 loosely."""

    score: float
    what: Findable


def folded(words: str) -> tuple[str, ...]:
    """Return words without case, accents and punctuation around them, as a search compares them."""
    plain = unicodedata.normalize("NFKD", words).casefold()
    bare = "".join(letter for letter in plain if not unicodedata.combining(letter))
    return tuple(word for word in (part.strip("#.,;:()'\"") for part in bare.split()) if word)


def matches(findable: Sequence[Findable], typed: str) -> list[Found]:
    """Return what fits every word typed, best first.

    A word fits where one begins with it; a number or a date fits better whole. Nothing typed
    finds nothing.
    """
    asked = folded(typed)
    found = (Found(fit(asked, one.words), one) for one in findable) if asked else ()
    return sorted((one for one in found if one.score), key=lambda f: (-f.score, f.what.says))


def fit(asked: Iterable[str], words: Sequence[str]) -> float:
    """Return the mean fit of folded words asked for, 0 when one of them fits nothing."""
    fits = []
    for word in asked:
        best = max((len(word) / len(w) for w in words if w.startswith(word)), default=0.0)
        if not best:
            return 0.0
        fits.append(0.5 + 0.5 * best)
    return sum(fits) / len(fits) if fits else 0.0
