"""Sample codes: digits with a check character, and the container that a label is on.

A code is two digits of the year, three of a serial number (four from 1000 on) and the check character of
ISO/IEC 7064, MOD 11,10; behind a dash stands the container: 250122-1. No digit means anything else. The check
character finds every single wrong digit and nearly every two that changed places.
"""

import re
from dataclasses import dataclass

import numpy as np
import pandas as pd

from explorer.intake.near_codes import DIGITS_MEANT
from explorer.records.cells import Column, Texts, is_empty, read_each

__all__ = [
    "CONTAINERS",
    "HIGHEST_SERIAL",
    "SampleCodes",
    "check_character",
    "container_of",
    "read_sample_codes",
    "sample_code",
    "sample_of",
    "serial_of",
]

# Container by the digit behind the dash.
CONTAINERS = {"1": "bottle", "2": "filter", "3": "second bottle", "4": "second filter"}
MODULUS = 10  # of ISO/IEC 7064, MOD 11,10
HIGHEST_SERIAL = 9999  # in one year

_CODE = re.compile(r"(\d{5,6})(\d)(?:-(\d))?", re.ASCII)
_LOOSE = re.compile(r"(\d{5,6})(\d)[\W_]{0,3}(\d)?", re.ASCII)
_RUN_TOGETHER = re.compile(r"(\d{5})(\d)([1-4])", re.ASCII)  # 2501221: without the dash


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
        If the serial number has more than four digits or the container more than one.

    Examples
    --------
    >>> sample_code(2025, 12, 1), sample_code(2025, 12)
    ('250122-1', '250122')
    """
    if not 0 <= serial <= HIGHEST_SERIAL or not 0 <= (container or 0) <= 9:
        raise ValueError(
            f"A serial number is 0 to {HIGHEST_SERIAL}, a container 0 to 9; found {serial} and {container}. "
            "Begin the next year's numbers, or a second programme's."
        )
    digits = f"{year % 100:02d}{serial:03d}"
    behind = "" if container is None else f"-{container}"
    return f"{digits}{check_character(digits)}{behind}"


def serial_of(code: str) -> int:
    """Return the serial number in a sample code.

    Parameters
    ----------
    code : str
        As `sample_code` makes it, with or without container.

    Examples
    --------
    >>> serial_of("250122-1"), serial_of(sample_code(2025, 1234))
    (12, 1234)
    """
    return int(code.partition("-")[0][2:-1])


@dataclass(frozen=True, slots=True)
class SampleCodes:
    """Sample codes of a column, each array of shape (n,).

    Attributes
    ----------
    sample : ndarray of str
        Six digits, or seven, empty where none can be read.
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
    found = None if _run_together(text) else _CODE.fullmatch(text)
    loose = _run_together(text) or found or _LOOSE.fullmatch(text)
    if not loose:
        alike = text.translate(DIGITS_MEANT)
        repaired = _run_together(alike) or _LOOSE.fullmatch(alike)
        if not repaired:
            return "", "", "sample_code_form", "", ""
        near = f"{repaired[1]}{repaired[2]}" + (f"-{repaired[3]}" if repaired[3] else "")
        fits = check_character(repaired[1]) == repaired[2]
        return ("", "", "sample_code_letter", "", near) if fits else ("", "", "sample_code_form", "", "")
    if check_character(loose[1]) != loose[2]:
        return "", "", "sample_code_check", "", ""
    return loose[1] + loose[2], loose[3] or "", "", "" if found else "sample_code_spelling", ""


def _run_together(text: str) -> re.Match[str] | None:
    """Return seven digits that are six and a container; no long code is: where its six fit, it ends in 9."""
    found = _RUN_TOGETHER.fullmatch(text)
    return found if found and check_character(found[1]) == found[2] else None


def sample_of(codes: pd.Series) -> pd.Series:
    """Return the sample of every code, without its container.

    Parameters
    ----------
    codes : Series of str, shape (n,)
        "250122-1", "250122".

    Examples
    --------
    >>> sample_of(pd.Series(["250122-1", "250122", ""])).tolist()
    ['250122', '250122', '']
    """
    unique = {code: code.partition("-")[0] for code in codes.unique().tolist()}
    return codes.map(unique).astype("str")


def container_of(codes: pd.Series) -> pd.Series:
    """Return the container of every code: bottle, filter …; empty where the code says none.

    Parameters
    ----------
    codes : Series of str, shape (n,)
        "250122-1", "250122".

    Examples
    --------
    >>> container_of(pd.Series(["250122-1", "250122"])).tolist()
    ['bottle', '']
    """
    unique = {code: CONTAINERS.get(code.partition("-")[2], "") for code in codes.unique().tolist()}
    return codes.map(unique).astype("str")
