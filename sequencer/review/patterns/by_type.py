"""Types as conditions: shared by the patterns that ask where each type goes, or what follows it."""

from sequencer.review.coded import Coded, Codes
from sequencer.review.question import Condition, Facts, family_of, the, type_word


def thrown(log: Coded) -> Codes:
    """Return the type of each pitch as its class."""
    return log.pitch


def type_conditions(
    _log: Coded, present: tuple[int, ...], *, said: str = "When he throws {}", key: str = "pitch"
) -> tuple[Condition, ...]:
    """Return one condition for each type present, and one for each family of several types.

    Parameters
    ----------
    said : str
        The phrase, with a place for the pitch.
    key : str
        Name of the type in `where`; the family is `key` too unless it is "pitch".
    """
    families: dict[str, list[int]] = {}
    for code in present:
        families.setdefault(family_of(code), []).append(code)
    single = [_of_type(code, said, key) for code in present]
    return (
        *single,
        *(
            Condition(_where(family, family, key), said.format(f"any {_SPOKEN[family]}"), (*codes,))
            for family, codes in families.items()
            if 1 < len(codes) < len(present) and family in _SPOKEN
        ),
    )


_SPOKEN = {"fast": "fastball", "breaking": "breaking ball", "off-speed": "off-speed pitch"}


def _of_type(code: int, said: str, key: str) -> Condition:
    word, family = type_word(code), family_of(code)
    return Condition(_where(word, family, key), said.format(the(word)), (code,))


def _where(word: str, family: str, key: str) -> Facts:
    if key != "pitch":
        return {key: word}
    return {"family": family} if word == family else {"pitch": word, "family": family}
