"""What a command says in the terminal, how it ends, and where what went wrong is written."""

import signal
import sys
import tempfile
import traceback
from collections.abc import Callable
from pathlib import Path
from typing import NoReturn

import platformdirs

__all__ = [
    "FAILED",
    "REFUSED",
    "STOPPED",
    "count_of",
    "log_file",
    "progress_bar",
    "report_of",
    "stop_at_signals",
    "tell",
]

# Exit statuses
STOPPED = 0  # done; or stopped by Ctrl-C, by closing the terminal or by a signal; or only help was asked for
FAILED = 1  # something went wrong in the program or in its server
REFUSED = 2  # a wrong argument, a record that cannot be opened, a port that is taken


BAR_CELLS = 24


def tell(*lines: str) -> None:
    """Print lines at once."""
    for line in lines:
        print(line, flush=True)


def count_of(number: int, thing: str) -> str:
    """Return how many there are of a thing.

    Examples
    --------
    >>> count_of(1, "water"), count_of(12, "water")
    ('1 water', '12 waters')
    """
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"


def progress_bar(words: str) -> Callable[[int, int], None]:
    """Return what shows on one line of a terminal how far something is; elsewhere nothing is shown.

    Parameters
    ----------
    words : str
        What is being done.

    Returns
    -------
    callable
        To be called with how many are done, and of how many; the last call ends the line.

    Examples
    --------
    >>> progress_bar("Hand-outs")(1, 12)
    """

    def show(done: int, of: int) -> None:
        if sys.stderr.isatty():
            bar = "#" * (BAR_CELLS * done // max(of, 1))
            end = "\n" if done >= of else ""
            print(f"\r{words} [{bar:.<{BAR_CELLS}}] {done} of {of}", end=end, file=sys.stderr, flush=True)

    return show


def stop_at_signals() -> None:
    """Let Ctrl-C, a closed terminal and a request to end stop the command once; more change nothing."""
    names = [name for name in ("SIGINT", "SIGTERM", "SIGHUP", "SIGBREAK") if hasattr(signal, name)]
    numbers = [
        number for name in names if signal.getsignal(number := getattr(signal, name)) != signal.SIG_IGN
    ]

    def stop(number: int, frame: object) -> NoReturn:
        for each in numbers:
            signal.signal(each, signal.SIG_IGN)
        raise KeyboardInterrupt

    for number in numbers:
        signal.signal(number, stop)


def log_file(name: str) -> Path:
    """Return a file for what is written for whoever mends the program; its folder exists."""
    try:
        folder = platformdirs.user_log_path("station-explorer", appauthor=False, ensure_exists=True)
    except OSError:
        folder = Path(tempfile.gettempdir())
    return folder / f"{name}.log"


def report_of(error: Exception) -> str:
    """Write down what went wrong in the program itself and return one line that says where."""
    path = log_file("command")
    path.write_text("".join(traceback.format_exception(error)), encoding="utf-8")
    return (
        f"Something went wrong in the station explorer itself ({type(error).__name__}). Nothing in the "
        f"record was changed. What happened is written in {path}; send it to whoever looks after the program."
    )
