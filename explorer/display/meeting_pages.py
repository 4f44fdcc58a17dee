"""The five steps of a lake's meeting, from its numbers: the same values for the screen and for paper."""

from explorer.display.meeting_basis import MeetingBasis
from explorer.display.meeting_months import months_step
from explorer.display.meeting_next import next_step
from explorer.display.meeting_state import state_step
from explorer.display.meeting_together import together_step
from explorer.display.meeting_values import MeetingStep
from explorer.display.meeting_years import years_step

__all__ = ["build_meeting_pages"]


def build_meeting_pages(basis: MeetingBasis) -> tuple[MeetingStep, ...]:
    """Return the five steps of a meeting in their order.

    Parameters
    ----------
    basis : MeetingBasis
        The lake and its numbers.

    Returns
    -------
    tuple of MeetingStep
        State, months, years, together, next.
    """
    steps = (state_step, months_step, years_step, together_step, next_step)
    return tuple(step(basis) for step in steps)
