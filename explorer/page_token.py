"""The token of a page that can write: part of every address of its server, and kept out of what is logged.

Other accounts of a computer, and pages of other programs in the same browser, reach its local ports too. A
server all of whose addresses begin with a random token answers none of them: there is nothing to sign in to,
and no cookie, which a browser would hand to every port of this computer.
"""

import logging
import secrets
from typing import Any

__all__ = ["WithoutToken", "logging_settings", "new_token"]

TOKEN_BYTES = 24  # 192 bits: cannot be guessed
HIDDEN = "(token)"


def new_token() -> str:
    """Return a token that was never used before and can stand in an address.

    Examples
    --------
    >>> len(new_token())
    48
    """
    return secrets.token_hex(TOKEN_BYTES)


class WithoutToken(logging.Filter):
    """Takes a token out of every line that is logged.

    Parameters
    ----------
    token : str
        What must not be written.

    Examples
    --------
    >>> record = logging.makeLogRecord({"msg": "GET /%s/", "args": ("0123",)})
    >>> WithoutToken("0123").filter(record), record.getMessage()
    (True, 'GET /(token)/')
    """

    def __init__(self, token: str) -> None:
        super().__init__()
        self._token = token

    def filter(self, record: logging.LogRecord) -> bool:
        """Keep every line, without the token."""
        text = record.getMessage()
        if record.exc_info and not record.exc_text:
            record.exc_text = logging.Formatter().formatException(record.exc_info)
        if record.exc_text:
            record.exc_text = record.exc_text.replace(self._token, HIDDEN)
        record.msg, record.args = text.replace(self._token, HIDDEN), ()
        return True


def logging_settings(token: str, server: str) -> dict[str, Any]:
    """Return settings of the server's logging by which no line holds the token.

    Parameters
    ----------
    token : str
        What must not be written.
    server : str
        Name of the logger that the server has for itself.

    Returns
    -------
    dict
        To be merged into the server's own, which has a handler "console".

    References
    ----------
    .. [1] Python's documentation, logging.config, "Configuration dictionary schema".

    Examples
    --------
    >>> logging_settings("0123", "Voila")["handlers"]
    {'console': {'filters': ['without_token']}}
    """
    return {
        "filters": {"without_token": {"()": f"{__name__}.{WithoutToken.__name__}", "token": token}},
        "handlers": {"console": {"filters": ["without_token"]}},
        "loggers": {server: {"propagate": False}},  # the handler of all others stands at the root
        "root": {"level": "WARNING", "handlers": ["console"]},
    }
