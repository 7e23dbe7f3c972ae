"""What a pitcher of the book has been asked to throw, for comparing a plan with it."""

from sequencer.live.scouting import Scouting
from sequencer.planning.simulated.by_hand import Past


def past_calls(known: Scouting, pitcher: str) -> Past:
    """Return every call of the book to a pitcher: type asked for, else thrown; and target.

    A target that was entered once the result was known is taken for unknown, and pitches that were
    no choice are left out. A pitcher who is not in the book has no past.
    """
    person = known.find_pitcher(pitcher)
    pitches = None if person is None else known.pitches_of(person.id)
    if person is None or pitches is None:
        return Past()
    own = pitches[(pitches["pitcher_id"] == person.id) & (pitches["intent"].fillna("") == "")]
    own = own[own["balls"].between(0, 3) & own["strikes"].between(0, 2)]
    called, thrown = own["called"].fillna(""), own["pitch"].fillna("")
    target = own["target"].fillna("").where(own["target_when"].fillna("") != "after", "")
    return Past(
        tuple(called.where(called != "", thrown).astype(str)),
        tuple(target.astype(str)),
        tuple((3 * own["balls"] + own["strikes"]).astype(int)),
    )
