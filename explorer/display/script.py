"""The lines of Python that give the figures of a page again, to be pasted into a notebook."""

from explorer.display.choice import Choice
from explorer.display.record_facts import RecordFacts
from explorer.display.station_page import StationPage

__all__ = ["script_of"]

_SCRIPT = """\
# {title}
from explorer import open_record
from explorer.display.choice import Choice
from explorer.display.figures import draw_station_page
from explorer.display.readings_table import seen_readings
from explorer.display.record_pages import RecordPages
from explorer.model.calendar import Period

choice = {choice!r}
record = open_record({path!r})
if record.version() != {version}:
    print("The record has changed since version {version}: the figures may differ.")

shown = RecordPages(record).station(choice)
seasons = shown.seasons  # one row a quantity and year
result = shown.result  # class, and how sure
page = shown.page

readings = seen_readings(page, choice)  # what the panels show, in their units
picture = draw_station_page(page, choice, form="png")  # bytes; IPython.display.Image(picture) shows them
print(*page.sentences, *page.change, sep="\\n")
for panel in page.panels:
    print(f"{{panel.title}} ({{panel.unit}}): {{panel.value or panel.message}}")
"""


def script_of(page: StationPage, choice: Choice, facts: RecordFacts) -> str:
    """Return the lines of Python that give the figures of a page again.

    Names from files become quoted text or one line of comment, whatever stands in them.

    Parameters
    ----------
    page : StationPage
        The page on the screen.
    choice : Choice
        What it was built from.
    facts : RecordFacts
        The record it came from.

    Returns
    -------
    str
        They leave `seasons`, `result`, `readings` and `picture` behind and print what the screen says.
    """
    title = "".join(letter if letter.isprintable() else " " for letter in page.heading)
    return _SCRIPT.format(title=title, choice=choice, path=str(facts.path), version=int(facts.version))
