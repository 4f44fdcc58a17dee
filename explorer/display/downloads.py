"""What a reader takes away from a page: a picture, a drawing, the numbers, or the Python that gives them."""

import re
import unicodedata
from typing import Literal, get_args

from explorer.display.choice import Choice
from explorer.display.readings_table import readings_csv
from explorer.display.record_facts import RecordFacts
from explorer.display.script import script_of
from explorer.display.station_page import StationPage
from explorer.model.errors import unknown_name

__all__ = ["KINDS", "Kind", "download", "file_name", "letters_of"]

Kind = Literal["png", "svg", "csv", "python"]
KINDS: tuple[Kind, ...] = get_args(Kind)

MOST_LETTERS = 48  # of a station's name in a file's: with four bytes a letter, under 255 bytes in all
_ENDINGS = {"python": "py"}


def download(kind: str, page: StationPage, choice: Choice, facts: RecordFacts) -> tuple[str, bytes]:
    """Return the name and the content of a file that holds what a page shows.

    Parameters
    ----------
    kind : {"png", "svg", "csv", "python"}
        What file.
    page : StationPage
        The page on the screen.
    choice : Choice
        What it was built from.
    facts : RecordFacts
        The record it came from.

    Returns
    -------
    name : str
        A name that every file system takes.
    content : bytes
        Text in UTF-8.

    Raises
    ------
    UnknownNameError
        If there is no such kind.
    """
    if kind not in KINDS:
        raise unknown_name("kind of file", kind, KINDS, "among the downloads")
    name = file_name(page.heading, page.station, choice, _ENDINGS.get(kind, kind))
    if kind == "csv":
        return name, readings_csv(page, choice, facts)
    if kind == "python":
        return name, script_of(page, choice, facts).encode()
    from explorer.display.figures import draw_station_page  # matplotlib: half a second, and only for pictures

    form: Literal["png", "svg"] = "png" if kind == "png" else "svg"
    return name, draw_station_page(page, choice, form=form, source=facts.line(choice.language))


def file_name(heading: str, code: str, choice: Choice, ending: str) -> str:
    """Return a file's name from a station's name and the period, whatever stands in them.

    Parameters
    ----------
    heading, code : str
        The station's name, and its code for a name without letters.
    choice : Choice
        Gives the period.
    ending : str
        The file's ending, without a dot.

    Examples
    --------
    >>> from explorer.model.calendar import Period
    >>> file_name("Ferrow Tarn, north basin", "FER1", Choice("FER1", Period(2025, 2025)), "png")
    'ferrow_tarn_north_basin_2025.png'
    >>> file_name("../..", "<1>", Choice("<1>", Period(2020, 2024)), "csv")
    '1_2020_2024.csv'
    """
    period = choice.period
    years = f"{period.first_year}" if period.years == 1 else f"{period.first_year}_{period.last_year}"
    return f"{letters_of(heading) or letters_of(code) or 'station'}_{years}.{ending}"


def letters_of(text: str) -> str:
    """Return letters and digits in lower case without accents, words joined by "_".

    Parameters
    ----------
    text : str
        Any text.

    Examples
    --------
    >>> letters_of("Ferrow Tarn, north"), letters_of("<>")
    ('ferrow_tarn_north', '')
    """
    apart = unicodedata.normalize("NFKD", text).casefold()
    bare = "".join(letter for letter in apart if not unicodedata.combining(letter))
    joined = re.sub(r"[\W_]+", "_", unicodedata.normalize("NFC", bare)).strip("_")
    return joined[:MOST_LETTERS].strip("_")
