"""A line of text that goes with a button: what it holds is whole when the button is pressed."""

import ipywidgets

__all__ = ["written_line"]


def written_line(description: str, hint: str = "", value: str = "") -> ipywidgets.Text:
    """Return a line to write on.

    It is sent when the writer leaves it, as one message before that of any button. Sent letter by letter, the
    last ones would wait in the page while Python is busy, and a button pressed then would overtake them.

    Parameters
    ----------
    description : str
        What stands before it.
    hint : str
        What stands in it while it is empty.
    value : str
        What is written on it at first.

    Examples
    --------
    >>> written_line("Why", value="asked").value
    'asked'
    """
    return ipywidgets.Text(value, description=description, placeholder=hint, continuous_update=False)
