"""What to do next about an unusual reading."""

from collections.abc import Mapping

from explorer.model.evidence import Evidence, NextStep

__all__ = ["next_step"]

_STEPS: Mapping[str, NextStep] = {
    "district": "accept", "lake": "accept", "together": "accept", "season": "accept", "weather": "accept",
    "on_bottom": "accept", "batch": "ask_the_laboratory", "blank": "ask_the_laboratory",
    "duplicate": "ask_the_laboratory", "handling": "ask_the_laboratory",
    "holding_time": "ask_the_laboratory", "qualifier": "ask_the_laboratory", "observer": "measure_again",
    "observer_offset": "measure_again", "too_deep": "look_at_the_sheet", "repeated": "look_at_the_sheet",
    "volume": "look_at_the_sheet", "feet": "look_at_the_sheet", "fahrenheit": "look_at_the_sheet",
}  # fmt: skip
_DIGITS = ("ten", "thousand")  # slips of whoever wrote the number


def next_step(likeliest: Evidence, *, from_laboratory: bool, season_open: bool) -> NextStep:
    """Return what to do about a reading.

    Parameters
    ----------
    likeliest : Evidence
        Its first line.
    from_laboratory : bool
        Whether a laboratory wrote the number.
    season_open : bool
        Whether the reading is still preliminary: then the station can be visited again.

    Returns
    -------
    str
        One of `NEXT_STEPS`.

    Examples
    --------
    >>> next_step(Evidence("batch", "for"), from_laboratory=True, season_open=False)
    'ask_the_laboratory'
    >>> next_step(Evidence("unexplained", "cannot_tell"), from_laboratory=False, season_open=True)
    'measure_again'
    """
    if likeliest.code in _STEPS and likeliest.verdict == "for":
        return _STEPS[likeliest.code]
    if likeliest.code in _DIGITS:
        return "ask_the_laboratory" if from_laboratory else "look_at_the_sheet"
    if season_open:
        return "measure_again"
    return "ask_the_laboratory" if from_laboratory else "look_at_the_sheet"
