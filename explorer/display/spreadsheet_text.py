"""Text in files for spreadsheets: what a spreadsheet would take for a formula stays text."""

import re

__all__ = ["guarded"]

# Where a spreadsheet would begin a formula: a cell's start, and what it may take for one where it splits
# cells at semicolons, tabs or line ends (common practice).
_FORMULA_START = re.compile(r"\A(?=[\t\r])|(?:\A|(?<=[;\t\r\n]))(?= *[=+\-@＝＋－＠])")
_NUMBER = re.compile(r"[+-]?[0-9]+([.,][0-9]+)?([eE][+-]?[0-9]+)?")


def guarded(text: str) -> str:
    """Return text that no spreadsheet takes for a formula: an apostrophe stands before it.

    Numbers stay as they are, and so does a single "=".

    Parameters
    ----------
    text : str
        A cell of a CSV file.

    Examples
    --------
    >>> guarded("=1+1"), guarded("-0.5"), guarded("Hollow Mere")
    ("'=1+1", '-0.5', 'Hollow Mere')
    """
    return text if text == "=" or _NUMBER.fullmatch(text) else _FORMULA_START.sub("'", text)
