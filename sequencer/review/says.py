"""A finding as one sentence a coach would say."""

from sequencer.review.findings import Finding


def sentence(finding: Finding, *, staff: bool = False) -> str:
    """Say a finding: how often, how often it would be usual, and how far to trust it.

    Parameters
    ----------
    finding : Finding
    staff : bool
        The pitches are of a whole staff, as one man called them.
    """
    contrast = finding.contrast
    who = "it" if finding.pattern.label != "pitch" else "the staff" if staff else "he"
    phrase = contrast.condition.phrase
    if staff:
        phrase = phrase.replace("When he throws", "When the staff throws")
    often = (
        f"{phrase} {who} {contrast.does} {of_100(finding.share)} times "
        f"({finding.count:.0f} of {finding.pitches}); usual is {of_100(finding.expected_share)}."
    )
    return " ".join(filter(None, (often, _verdict(finding))))


def of_100(share: float) -> str:
    """Return a share as a coach says it: 92 of 100."""
    return f"{100 * share:.0f} of 100"


def _verdict(finding: Finding) -> str:
    if finding.why_not:
        return finding.why_not[0].upper() + finding.why_not[1:] + "."
    if not finding.flagged:
        return "That can be chance."
    return "The plan asks for it." if finding.right else ""
