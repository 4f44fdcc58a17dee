"""What the practice screen shows as plain values: words, one picture, papers, and buttons with their keys."""

from dataclasses import dataclass

__all__ = ["Button", "ButtonRow", "Listing", "Paper", "PaperLine", "PracticePage", "Tile"]


@dataclass(frozen=True, slots=True)
class Button:
    """A button.

    Attributes
    ----------
    code : str
        What is handed back when it is pressed.
    label : str
        Words on it.
    asks : str
        Label of the field that goes with it, empty for none.
    key : str
        The number or letter that presses it, empty for none.
    """

    code: str
    label: str
    asks: str = ""
    key: str = ""


@dataclass(frozen=True, slots=True)
class ButtonRow:
    """Buttons under one heading."""

    title: str
    buttons: tuple[Button, ...]


@dataclass(frozen=True, slots=True)
class PaperLine:
    """A line of a paper: what it is called, what it says, and the button that marks it, if any."""

    name: str
    text: str
    button: Button | None = None


@dataclass(frozen=True, slots=True)
class Paper:
    """A label, a sheet, or what is seen, in words."""

    title: str
    lines: tuple[PaperLine, ...]


@dataclass(frozen=True, slots=True)
class Tile:
    """An exercise to choose: its button, what it is about, and how long it takes."""

    button: Button
    about: str
    minutes: str


@dataclass(frozen=True, slots=True)
class Listing:
    """Sentences under a heading.

    Attributes
    ----------
    title : str
        The heading.
    lines : tuple of str
        Whole sentences.
    kind : {"", "well", "slip"}
        How they are marked, besides by their heading.
    """

    title: str
    lines: tuple[str, ...]
    kind: str = ""


@dataclass(frozen=True, slots=True)
class PracticePage:
    """All that the screen shows; whatever is empty is left out.

    Attributes
    ----------
    kind : str
        Which screen: "start", "before", "exercise", "score", "group" or "keep".
    title, task : str
        Heading, and what is to be done now.
    told : tuple of str
        What the last action brought.
    picture : str
        SVG, made by us alone.
    caution : str
        Where the work can hurt somebody, whose word counts.
    papers, rows, tiles, lists
        What stands below.
    ways : tuple of Button
        To other screens.
    is_secret : bool
        Whether what is typed is hidden.
    scene : str
        Scene of the view, empty for a screen around the exercises.
    """

    kind: str
    title: str
    task: str = ""
    told: tuple[str, ...] = ()
    picture: str = ""
    caution: str = ""
    papers: tuple[Paper, ...] = ()
    rows: tuple[ButtonRow, ...] = ()
    tiles: tuple[Tile, ...] = ()
    lists: tuple[Listing, ...] = ()
    ways: tuple[Button, ...] = ()
    is_secret: bool = False
    scene: str = ""
