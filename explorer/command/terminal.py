"""What a command says in the terminal, how it ends, and where what went wrong is written."""

import signal
import tempfile
import traceback
from pathlib import Path
from typing import NoReturn

import platformdirs

__all__ = ["FAILED", "REFUSED", "STOPPED", "count_of", "log_file", "report_of", "stop_at_signals", "tell"]

# Exit statuses
STOPPED = 0  # done; or stopped by Ctrl-C, by closing the terminal or by a signal; or only help was asked for
FAILED = 1  # something went wrong in the program or in its server
REFUSED = 2  # a wrong argument, a record that cannot be opened, a port that is taken


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
