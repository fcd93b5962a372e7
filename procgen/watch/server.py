"""Serves the manual to browsers on this machine, and to nobody else."""

import errno
import socket
import sys
import threading
import zlib
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import partial
from http.server import ThreadingHTTPServer
from pathlib import Path
from typing import Any

from procgen.watch.answer import Handler, Served

ADDRESS = "127.0.0.1"
_PORTS = range(20000, 30000)


class PortError(Exception):
    """Nothing can be served on the port that was asked for; the message says why."""


@contextmanager
def serving(served: Served, port: int | None) -> Iterator[str]:
    """Serve while the context lasts. Gives the address to open.

    port: None for one of the program's choice, the same for the same folder wherever it is free: what a browser keeps
    (ticks on a sheet) it keeps by address and port.

    Raises PortError where `port` is taken or may not be used.
    """
    server = _server(served, port)
    # Closing waits for the poll, in seconds.
    thread = threading.Thread(target=partial(server.serve_forever, poll_interval=0.1), name="procgen-watch-server")
    thread.start()
    try:
        yield f"http://{ADDRESS}:{server.server_port}/"
    finally:
        server.shutdown()
        thread.join()
        served.board.close()
        server.hang_up()
        server.server_close()


def _server(served: Served, port: int | None) -> "SiteServer":
    if port is None:
        with suppress(OSError):
            return SiteServer(served, usual_port(served.folder))
        return SiteServer(served, 0)
    try:
        return SiteServer(served, port)
    except (OSError, OverflowError) as error:
        taken = isinstance(error, OSError) and error.errno == errno.EADDRINUSE
        reason = "is taken by another program" if taken else "cannot be served on"
        raise PortError(f"Port {port} {reason}. Name another, or leave --port out for one that is free.") from error


def usual_port(folder: Path) -> int:
    """The port that a folder is served on where it is free."""
    return _PORTS[zlib.crc32(str(folder).encode("utf-8", "surrogateescape")) % len(_PORTS)]


class SiteServer(ThreadingHTTPServer):
    """One thread for each request. All of them end before the server does, so none is a daemon."""

    daemon_threads = False
    # On Windows this would let two programs have the same port.
    allow_reuse_address = sys.platform != "win32"

    def __init__(self, served: Served, port: int) -> None:
        self._open: set[socket.socket] = set()
        self._lock = threading.Lock()
        super().__init__((ADDRESS, port), partial(Handler, served))

    def get_request(self) -> tuple[socket.socket, Any]:
        """Take a connection, and remember it while it is open."""
        connection, address = super().get_request()
        with self._lock:
            self._open.add(connection)
        return connection, address

    def shutdown_request(self, request: Any) -> None:
        """A connection is done with."""
        with self._lock:
            self._open.discard(request)
        super().shutdown_request(request)

    def hang_up(self) -> None:
        """End every connection, so that no thread waits for a browser that has nothing to say."""
        with self._lock:
            for connection in self._open:
                with suppress(OSError):
                    connection.shutdown(socket.SHUT_RDWR)

    def handle_error(self, request: Any, client_address: Any) -> None:
        """A browser that goes away in the middle of an answer is no fault; anything else is, and shows itself."""
        if not isinstance(sys.exc_info()[1], OSError):
            super().handle_error(request, client_address)
