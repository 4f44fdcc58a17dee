"""Codes that one slip of the pen would turn into one another: a wrong digit, two that changed places."""

from collections.abc import Iterable, Mapping

__all__ = ["DIGITS_MEANT", "code_digits", "likely_codes"]

_DIGITS = "0123456789"
# Letters that are read or typed for digits (common practice).
DIGITS_MEANT = str.maketrans("OoDQIiLl|ZzSsBGg", "0000111112255866")
LONGEST_CODE = 12  # characters; what is longer is no code with a slip


def code_digits(text: str) -> tuple[str, str]:
    """Return the digits of a code as written, and of its container; letters like digits are taken for them.

    Parameters
    ----------
    text : str
        "25O962-1", "251600".

    Examples
    --------
    >>> code_digits("25O962-1"), code_digits("251600"), code_digits("no label")
    (('250962', '1'), ('251600', ''), ('', ''))
    """
    if len(text) > LONGEST_CODE:
        return "", ""
    translated = text.translate(DIGITS_MEANT)
    digits = "".join(each for each in translated if each in _DIGITS)
    kept = [each for each in translated if not each.isspace() and each not in "-_/."]
    if len(digits) != len(kept) or not 5 <= len(digits) <= 8:
        return "", ""
    return (digits[:6], digits[6:]) if len(digits) >= 6 else (digits, "")


def _one_slip_away(digits: str) -> set[str]:
    """Return all texts of digits that one slip leads to: changed places, a wrong, a lost, a doubled digit."""
    parts = [(digits[:place], digits[place:]) for place in range(len(digits) + 1)]
    swapped = {a + b[1] + b[0] + b[2:] for a, b in parts if len(b) > 1}
    wrong = {a + each + b[1:] for a, b in parts if b for each in _DIGITS}
    lost = {a + b[1:] for a, b in parts if b}
    added = {a + each + b for a, b in parts for each in _DIGITS}
    return (swapped | wrong | lost | added | {digits}) - {""}


def likely_codes(texts: Iterable[str], known: Iterable[str]) -> Mapping[str, str]:
    """Return the one known code that each text is a slip away from, where there is just one.

    Parameters
    ----------
    texts : iterable of str
        Codes as written that fit nothing.
    known : iterable of str
        Codes that have no partner yet: "250317-1", "250317".

    Examples
    --------
    >>> likely_codes(["250371-1", "25O962-1", "250999-1"], ["250317-1", "250317-2", "250962-1"])
    {'250371-1': '250317-1', '25O962-1': '250962-1'}
    """
    by_sample: dict[str, set[str]] = {}
    for code in known:
        sample, _, _ = code.partition("-")
        by_sample.setdefault(sample, set()).add(code)
    found: dict[str, str] = {}
    for text in dict.fromkeys(texts):
        sample, container = code_digits(text)
        if not sample:
            continue
        near = {code for each in _one_slip_away(sample) for code in by_sample.get(each, ())}
        samples = {code.partition("-")[0] for code in near}
        if len(samples) != 1:
            continue
        only = samples.pop()
        own = f"{only}-{container}" if container else only
        found[text] = own if own in near or not container else min(near)
    return found
