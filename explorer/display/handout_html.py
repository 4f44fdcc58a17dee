"""A hand-out as one file for the browser: no script, nothing from outside, every text escaped."""

from collections.abc import Sequence
from pathlib import Path

from explorer.display.markup import element, escaped
from explorer.display.meeting import Meeting
from explorer.display.meeting_drawing import draw_picture
from explorer.display.meeting_values import MeetingStep
from explorer.display.palette import PICTURE_INKS, THEMES
from explorer.display.shapes import PREFIX

__all__ = ["handout_html"]

_SHEET = Path(__file__).with_name("handout.css")
_NOTHING_FROM_OUTSIDE = "default-src 'none'; style-src 'unsafe-inline'"


def handout_html(meeting: Meeting) -> bytes:
    """Return the hand-out of a meeting as one file that a browser opens by itself.

    Parameters
    ----------
    meeting : Meeting
        The lake's meeting.

    Returns
    -------
    bytes
        HTML in UTF-8, light and dark as the reader's computer is set.
    """
    head = (
        f'<meta charset="utf-8"><meta http-equiv="Content-Security-Policy" content="{_NOTHING_FROM_OUTSIDE}">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"{element('title', meeting.title)}<style>{_inks()}{_SHEET.read_text(encoding='utf-8')}</style>"
    )
    body = [
        f"<header>{element('h1', meeting.title)}{element('p', meeting.subtitle)}</header>",
        *(_step(step, meeting) for step in meeting.steps),
        _section(meeting.say("handout_words"), _terms(meeting.terms)),
        _section(meeting.say("handout_ask"), element("p", meeting.ask) + element("p", meeting.thanks)),
        _section(meeting.say("handout_sources"), _list(meeting.sources)),
    ]
    foot = f"<footer>{element('p', meeting.facts)}</footer>"
    start = f'<!doctype html><html lang="{escaped(meeting.language)}"><head>{head}</head>'
    page = f"{start}<body><main>{''.join(body)}</main>{foot}</body></html>"
    return page.encode("utf-8", errors="replace")


def _inks() -> str:
    light, dark = (
        "".join(
            f"{PREFIX}{name}:{value};" for name, value in {**THEMES[theme], **PICTURE_INKS[theme]}.items()
        )
        for theme in ("light", "dark")
    )
    return (
        f":root{{color-scheme:light dark;{light}}}"
        f"@media (prefers-color-scheme:dark){{@media screen{{:root{{{dark}}}}}}}"
    )


def _step(step: MeetingStep, meeting: Meeting) -> str:
    known = "".join(element("p", line) for line in step.known)
    inside = [
        element("h2", step.title),
        element("p", step.sentence, "sentence"),
        f"<figure>{draw_picture(step.picture)}</figure>" if step.picture else "",
        element("p", f"{step.sureness} {step.figures[0]}"),
        _list(step.figures[1:]),
        f"<details>{element('summary', meeting.say('handout_known'))}{known}</details>",
        element("p", step.caution, "caution"),
    ]
    return f"<section>{''.join(inside)}</section>"


def _section(title: str, inside: str) -> str:
    return f"<section>{element('h2', title)}{inside}</section>"


def _list(lines: Sequence[str]) -> str:
    return f"<ul>{''.join(element('li', line) for line in lines)}</ul>" if lines else ""


def _terms(terms: Sequence[tuple[str, str]]) -> str:
    return f"<dl>{''.join(element('dt', name) + element('dd', text) for name, text in terms)}</dl>"
