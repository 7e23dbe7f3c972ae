"""A finding as one sentence a coach would say."""

from sequencer.review.findings import Finding


def sentence(finding: Finding, *, staff: bool = False) -> str:
    """Say a finding: how often, how often it would be usual, and how far to trust it."""
    return " ".join(filter(None, (counted(finding, staff=staff), _verdict(finding))))


def counted(finding: Finding, *, staff: bool = False) -> str:
    """Say how often, and how often it would be usual, without a verdict.

    Parameters
    ----------
    finding : Finding
    staff : bool
        The pitches are of a whole staff, as one man called them.
    """
    contrast = finding.contrast
    who = "it" if finding.pattern.label != "pitch" else "the staff" if staff else "he"
    return (
        f"{condition(finding, staff=staff)} {who} {contrast.does} {of_100(finding.share)} times "
        f"({finding.count:.0f} of {finding.pitches}); usual is {of_100(finding.expected_share)}."
    )


def condition(finding: Finding, *, staff: bool = False) -> str:
    """Say when a finding holds."""
    phrase = finding.contrast.condition.phrase
    return phrase.replace("When he throws", "When the staff throws") if staff else phrase


def of_100(share: float) -> str:
    """Return a share as a coach says it: 92 of 100."""
    return f"{100 * share:.0f} of 100"


def _verdict(finding: Finding) -> str:
    if finding.why_not:
        return finding.why_not[0].upper() + finding.why_not[1:] + "."
    if not finding.flagged:
        return "That can be chance."
    return "The plan asks for it." if finding.right else ""
