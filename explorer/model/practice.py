"""What passes between an exercise and whoever shows it: actions, options, views and scores."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from explorer.model.practice_rules import USUAL_RULES, PracticeRules
from explorer.model.words import say

__all__ = [
    "Action",
    "Attempt",
    "Card",
    "Estimate",
    "Option",
    "Remark",
    "Score",
    "View",
]


@dataclass(frozen=True, slots=True)
class Action:
    """One thing that the learner does.

    Attributes
    ----------
    code : str
        Code of an option: "lower_mark", or with what it is done to, "mark:bottle.code".
    written : str
        What the learner wrote, where the option asks for it.

    Examples
    --------
    >>> Action("mark:bottle.code").target
    'bottle.code'
    """

    code: str
    written: str = ""

    @property
    def deed(self) -> str:
        """The code without what it is done to."""
        return self.code.partition(":")[0]

    @property
    def target(self) -> str:
        """What it is done to, empty where the code says no more."""
        return self.code.partition(":")[2]


@dataclass(frozen=True, slots=True)
class Option:
    """One action that is possible now, as a button.

    Attributes
    ----------
    code : str
        Code of the action.
    label : str
        Words on the button.
    row : str
        Words over the row of buttons in which it stands.
    asks : str
        Label of the field in which something must be written first, empty where nothing is asked.
    line : str
        Line of the card titled like the row at which it stands, empty for a button of its own.
    """

    code: str
    label: str
    row: str = ""
    asks: str = ""
    line: str = ""


@dataclass(frozen=True, slots=True)
class Remark:
    """A sentence by its code, with its values: a reason, a mistake, a finding.

    Attributes
    ----------
    code : str
        "group.code" of the sentence.
    values : mapping of str to str
        What stands in its braces, numbers already rounded.

    Examples
    --------
    >>> str(Remark("practice.unfinished"))
    'The exercise was not finished, so nothing is counted yet.'
    """

    code: str
    values: Mapping[str, str] = field(default_factory=dict)

    def say(self, language: str = "en") -> str:
        """Return the sentence.

        Parameters
        ----------
        language : str
            Language of the words.
        """
        return say(self.code, self.values, language)

    def __str__(self) -> str:
        return self.say()


@dataclass(frozen=True, slots=True)
class Card:
    """A few lines under a title: a label, a data sheet, what can be seen.

    Attributes
    ----------
    title : str
        Its heading.
    lines : tuple of (str, str)
        What each line is called and what it says.
    """

    title: str
    lines: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class View:
    """What the learner may see: never the hidden truth, never the seed.

    Attributes
    ----------
    scene : str
        Which picture is drawn: "boat", "bench", "papers", "road", "choice" or "group".
    task : str
        What is to be done now.
    told : tuple of str
        What the last action brought, with its reasons.
    figures : mapping of str to float or tuple of float
        Numbers for the picture; each exercise says which, with units.
    cards : tuple of Card
        The same in words, for whoever does not see the picture, and what the learner has written.
    caution : str
        Where the work can hurt somebody, whose word counts; else empty.
    finished : bool
        Whether the exercise is at its end.
    """

    scene: str
    task: str
    told: tuple[str, ...]
    figures: Mapping[str, float | tuple[float, ...]]
    cards: tuple[Card, ...]
    caution: str = ""
    finished: bool = False


@dataclass(frozen=True, slots=True)
class Estimate:
    """A number between its limits. [%]"""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Attempt:
    """All that happened in one exercise: playing it again gives the same end.

    Attributes
    ----------
    exercise : str
        Code of the exercise.
    seed : int
        What the invented water, weather and papers were drawn from; never shown.
    actions : tuple of Action
        In their order.
    rules : PracticeRules
        The programme's rules.
    """

    exercise: str
    seed: int
    actions: tuple[Action, ...]
    rules: PracticeRules = USUAL_RULES


@dataclass(frozen=True, slots=True)
class Score:
    """How an attempt went.

    Attributes
    ----------
    points, of : int
        Points, and how many there are.
    mistakes : tuple of Remark
        Each with its reason, each code once, in the order in which they were made.
    findings : tuple of Remark
        What came out, and what it does and does not say.
    bias : Estimate or None
        How far what was written lies from what was there. [%] Above 0: too much. None where not known.
    spread : float or None
        Highest less lowest of repeated readings, as a share of their mean. [%] None under two readings.
    well : tuple of Remark
        What went well: said only where no mistake speaks against it.
    """

    points: int
    of: int
    mistakes: tuple[Remark, ...]
    findings: tuple[Remark, ...] = ()
    bias: Estimate | None = None
    spread: float | None = None
    well: tuple[Remark, ...] = ()
