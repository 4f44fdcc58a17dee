"""Why a reading has its status, in words: a doubt's sentence where the record holds its code."""

from explorer.display.check_in_lines import check_title
from explorer.model.errors import UnknownNameError
from explorer.model.problems import Problem, ProblemOf, Source, no_problem
from explorer.model.words import has_words

__all__ = ["reason_text"]


def reason_text(reason: str, source: Source, as_written: str, problem_of: ProblemOf = no_problem) -> str:
    """Return why a reading has its status.

    What it waits for may stand in another cell of its row, such as that of its station: that cell is named.

    Parameters
    ----------
    reason : str
        As the record holds it: the code of a problem, or a remark.
    source : Source
        The reading's cell.
    as_written : str
        Its text.
    problem_of : callable
        Finds the problem as it was met; without, its sentence speaks of the reading's own text.

    Examples
    --------
    >>> reason_text("not_a_number", Source("a.csv"), "?")
    '"?" is not a number. Correct the cell or leave it empty.'
    >>> reason_text("Looked up on the sheet", Source("a.csv"), "?")
    'Looked up on the sheet'
    """
    if not has_words(f"problem.{reason}"):
        return reason
    met = problem_of(reason, source)
    if met is not None:
        elsewhere = met.source.column not in ("", *source.column.split(" | "))
        return f'"{met.source.column}": {met.sentence}' if elsewhere else met.sentence
    try:
        return Problem(reason, "hold", source, as_written).sentence
    except UnknownNameError:  # a sentence that wants more than the reading knows
        return check_title(reason)
