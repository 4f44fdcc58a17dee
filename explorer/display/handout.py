"""What a lake association takes home: two pages, the five steps as slides, and one file for the browser."""

from collections.abc import Callable, Mapping

from explorer.display.downloads import letters_of
from explorer.display.handout_html import handout_html
from explorer.display.meeting import Meeting
from explorer.display.meeting_drawing import draw_picture
from explorer.display.meeting_values import MeetingStep
from explorer.display.shapes import on_paper
from explorer.display.typeset import typeset
from explorer.model.errors import known

__all__ = ["HANDOUT_KINDS", "handout_file", "handout_name", "handout_pdf", "slides_pdf"]


def handout_pdf(meeting: Meeting) -> bytes:
    """Return the hand-out of a meeting: two pages, tagged, from the same values as the screen.

    Parameters
    ----------
    meeting : Meeting
        The lake's meeting.
    """
    return typeset("handout", _values(meeting), made_on=meeting.made_on)


def slides_pdf(meeting: Meeting) -> bytes:
    """Return the five steps of a meeting as pages for a projector, for the day the laptop fails.

    Parameters
    ----------
    meeting : Meeting
        The lake's meeting.
    """
    return typeset("slides", _values(meeting), made_on=meeting.made_on)


def _values(meeting: Meeting) -> dict[str, object]:
    words = ("handout_words", "handout_known", "handout_sources", "handout_ask")
    return {
        "title": meeting.title,
        "subtitle": meeting.subtitle,
        "lake": meeting.lake.name,
        "language": meeting.language,
        "paper": meeting.paper,
        "caution": meeting.steps[0].caution,
        "steps": [_step_values(step) for step in meeting.steps],
        "terms": [list(term) for term in meeting.terms],
        "sources": list(meeting.sources),
        "thanks": meeting.thanks,
        "ask": meeting.ask,
        "foot": meeting.facts,
        "words": {code.removeprefix("handout_"): meeting.say(code) for code in words},
    }


def _step_values(step: MeetingStep) -> dict[str, object]:
    picture = on_paper(draw_picture(step.picture)) if step.picture else ""
    return {
        "title": step.title,
        "sentence": step.sentence,
        "sureness": step.sureness,
        "visits": step.figures[0],
        "figures": list(step.figures[1:]),
        "known": list(step.known),
        "caution": step.caution,
        "picture": picture.replace("<svg ", '<svg font-family="DejaVu Sans" ', 1),
        "alt": step.picture.alt if step.picture else "",
    }


HANDOUT_KINDS: Mapping[str, tuple[str, Callable[[Meeting], bytes]]] = {
    "handout": ("handout.pdf", handout_pdf),
    "slides": ("slides.pdf", slides_pdf),
    "html": ("handout.html", handout_html),
}


def handout_name(meeting: Meeting, kind: str) -> str:
    """Return the name of a file of a meeting: one that every file system takes.

    Parameters
    ----------
    meeting : Meeting
        The lake's meeting.
    kind : {"handout", "slides", "html"}
        Which file.

    Raises
    ------
    UnknownNameError
        If there is no such kind.
    """
    ending, _ = known(HANDOUT_KINDS, kind, "kind of file")
    names = [letters_of(each) for each in (meeting.title, meeting.lake.code)]
    return "_".join([*dict.fromkeys(name for name in names if name), ending])


def handout_file(meeting: Meeting, kind: str) -> tuple[str, bytes]:
    """Return a file of a meeting: its name and its content.

    Parameters
    ----------
    meeting : Meeting
        The lake's meeting.
    kind : {"handout", "slides", "html"}
        Two pages for paper, the five steps for a projector, or the hand-out for a browser.

    Raises
    ------
    UnknownNameError
        If there is no such kind.
    """
    name = handout_name(meeting, kind)
    return name, HANDOUT_KINDS[kind][1](meeting)
