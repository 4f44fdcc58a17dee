"""Sample codes: digits with a check character, and the container that a label is on.

A code is two digits of the year, three of a serial number and the check character of ISO/IEC 7064, MOD 11,10;
behind a dash stands the container: 250122-1. No digit means anything else. The check character finds every
single wrong digit and nearly every two that changed places.
"""

import re
from dataclasses import dataclass

import numpy as np

from explorer.records.cells import Column, Texts, is_empty, read_each

__all__ = ["CONTAINERS", "SampleCodes", "check_character", "read_sample_codes", "sample_code"]

# Container by the digit behind the dash.
CONTAINERS = {"1": "bottle", "2": "filter", "3": "second bottle", "4": "second filter"}
MODULUS = 10  # of ISO/IEC 7064, MOD 11,10

_CODE = re.compile(r"(\d{5})(\d)(?:-(\d))?", re.ASCII)
_LOOSE = re.compile(r"(\d{5})(\d)[\W_]{0,3}(\d)?", re.ASCII)
# Letters that are read or typed for digits (common practice).
_ALIKE = str.maketrans("OoDQIiLl|ZzSsBGg", "0000111112255866")


def check_character(digits: str) -> str:
    """Return the check character of digits by ISO/IEC 7064, MOD 11,10.

    Parameters
    ----------
    digits : str
        Digits without it.

    References
    ----------
    .. [1] ISO/IEC 7064:2003, "Check character systems", hybrid system MOD 11,10.

    Examples
    --------
    >>> check_character("0794"), check_character("25012")
    ('5', '2')
    """
    product = MODULUS
    for digit in digits:
        total = (int(digit) + product) % MODULUS or MODULUS
        product = total * 2 % (MODULUS + 1)
    return str((MODULUS + 1 - product) % MODULUS)


def sample_code(year: int, serial: int, container: int | None = None) -> str:
    """Return the code of a year's sample, with its container where one is given.

    Parameters
    ----------
    year, serial : int
        Year with four digits, number within it.
    container : int, optional
        1 bottle, 2 filter, 3 second bottle, 4 second filter.

    Raises
    ------
    ValueError
        If the serial number has more than three digits or the container more than one.

    Examples
    --------
    >>> sample_code(2025, 12, 1), sample_code(2025, 12)
    ('250122-1', '250122')
    """
    if not 0 <= serial <= 999 or not 0 <= (container or 0) <= 9:
        raise ValueError(
            f"A serial number is 0 to 999, a container 0 to 9; found {serial} and {container}. "
            "Begin the next year's numbers, or a second programme's."
        )
    digits = f"{year % 100:02d}{serial:03d}"
    behind = "" if container is None else f"-{container}"
    return f"{digits}{check_character(digits)}{behind}"


@dataclass(frozen=True, slots=True)
class SampleCodes:
    """Sample codes of a column, each array of shape (n,).

    Attributes
    ----------
    sample : ndarray of str
        Six digits, empty where none can be read.
    container : ndarray of str
        The digit behind the dash, empty where none stands there.
    problem : ndarray of str
        "", "sample_code_form", "sample_code_check" or "sample_code_letter": the code waits for an answer.
    note : ndarray of str
        "", or "sample_code_spelling" where the dash was written otherwise.
    near : ndarray of str
        For a code with letters among its digits: what it is likely to be, where the check character fits.
    """

    sample: Texts
    container: Texts
    problem: Texts
    note: Texts
    near: Texts

    @property
    def code(self) -> Texts:
        """Sample and container: "250122-1"; the sample alone where no container is said."""
        behind = np.where(self.container != "", "-" + self.container, "")
        return np.asarray(np.where(self.sample != "", self.sample + behind, ""), dtype=object)


def read_sample_codes(texts: Column) -> SampleCodes:
    """Return the sample code and the problem of every cell.

    Parameters
    ----------
    texts : sequence of str, shape (n,)
        As written: "250122-1", "250122 1", "250122".

    Examples
    --------
    >>> codes = read_sample_codes(["250122-1", "250946 2", "250371-1", "25O962-1"])
    >>> codes.code.tolist(), codes.problem.tolist()
    (['250122-1', '250946-2', '', ''], ['', '', 'sample_code_check', 'sample_code_letter'])
    >>> codes.near.tolist()
    ['', '', '', '250962-1']
    """
    rows = read_each(texts, _read)
    columns = zip(*rows, strict=True) if rows else [[]] * 5
    return SampleCodes(*(np.array(list(each), dtype=object) for each in columns))


def _read(text: str) -> tuple[str, str, str, str, str]:
    if is_empty(text):
        return "", "", "", "", ""
    found = _CODE.fullmatch(text)
    loose = found or _LOOSE.fullmatch(text)
    if not loose:
        repaired = _LOOSE.fullmatch(text.translate(_ALIKE))
        if not repaired:
            return "", "", "sample_code_form", "", ""
        near = f"{repaired[1]}{repaired[2]}" + (f"-{repaired[3]}" if repaired[3] else "")
        fits = check_character(repaired[1]) == repaired[2]
        return ("", "", "sample_code_letter", "", near) if fits else ("", "", "sample_code_form", "", "")
    if check_character(loose[1]) != loose[2]:
        return "", "", "sample_code_check", "", ""
    return loose[1] + loose[2], loose[3] or "", "", "" if found else "sample_code_spelling", ""
