"""Where the page listens: this computer's own address, and a port that is free."""

import os
import socket
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, ExitStack, contextmanager
from typing import TypeVar

from explorer.model.errors import ExplorerError

__all__ = ["FIRST_PORT", "HOST", "PortError", "at_free_port", "choose_port"]

Served = TypeVar("Served")

HOST = "127.0.0.1"
FIRST_PORT = 8630  # tried first when no port is named
PORTS_TRIED = 20


class PortError(ExplorerError):
    """A port that cannot be used."""


def choose_port(wanted: int | None = None) -> int:
    """Return a port of this computer on which nothing listens.

    Parameters
    ----------
    wanted : int, optional
        The only port to try, 0 for any that is free; when left out, `FIRST_PORT` and those after it.

    Raises
    ------
    PortError
        If the wanted port is taken or not allowed, or all ports tried are taken.

    Examples
    --------
    >>> choose_port() in range(FIRST_PORT, FIRST_PORT + PORTS_TRIED)
    True
    """
    for port in range(FIRST_PORT, FIRST_PORT + PORTS_TRIED) if wanted is None else (wanted,):
        with socket.socket() as probe:
            if os.name == "posix":  # a port in the last minute of a closed connection is free
                probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                probe.bind((HOST, port))
            except PermissionError as error:
                raise PortError(
                    f"This account may not use port {port}. Choose one from 1024 to 65535, or leave "
                    "--port out."
                ) from error
            except OSError:
                continue
            return int(probe.getsockname()[1])
    if wanted is not None:
        raise PortError(
            f"Port {wanted} is taken by another program, or by an explorer that is already running. Choose "
            "another port, or leave --port out."
        )
    raise PortError(
        f"The ports {FIRST_PORT} to {FIRST_PORT + PORTS_TRIED - 1} are all taken. Stop an explorer that you "
        "no longer need, or name a free port with --port."
    )


@contextmanager
def at_free_port(
    serve: Callable[[int], AbstractContextManager[Served]], wanted: int | None = None
) -> Iterator[Served]:
    """Serve at a free port; where none is named, at the next one if another program takes it meanwhile.

    Between finding a port and listening there a second or two pass: an explorer that starts in the same
    moment finds the same one.

    Parameters
    ----------
    serve : callable
        Serves at a port; raises `PortError` on entering where the port is taken after all.
    wanted : int, optional
        The only port to try.

    Yields
    ------
    object
        What `serve` gives.

    Raises
    ------
    PortError
        As `choose_port` does.
    """
    with ExitStack() as stack:
        while True:
            port = choose_port(wanted)
            try:
                served = stack.enter_context(serve(port))
                break
            except PortError:
                if wanted is not None:
                    raise
        yield served
