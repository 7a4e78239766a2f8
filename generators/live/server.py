"""The server: hands the finished pages to this machine alone, and to pages that it has handed out itself.

It knows the names of its panels and no path of the disk, so nothing else can be asked for.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from socketserver import TCPServer
from threading import Thread, current_thread
from urllib.parse import unquote, urlsplit

from dryfit.generators.live.bench import LIST, Bench
from dryfit.generators.live.notice import WAY, address
from dryfit.models.reading.errors import DryfitError

HOME = "127.0.0.1"
NAMES = (HOME, "localhost")
"""What this machine calls itself: a page under any other name has been led here by its name server."""
PATIENCE = 60.0  # s that a first check may take
BEAT = 15.0  # s after which a stream says that it is alive: so it learns when nobody listens any more
FAREWELL = 0.5  # s for a stream to say that it ends
SLOW = 30.0  # s in which a request must have come

HEADERS = {
    "Cache-Control": "no-store",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
}


class Server(ThreadingHTTPServer):
    """The pages of a bench at a port of this machine; 0: one that is free."""

    daemon_threads = True

    def __init__(self, bench: Bench, port: int = 0):
        self.bench = bench
        self.streams: set[Thread] = set()
        super().__init__((HOME, port), _Handler)

    @property
    def port(self) -> int:
        """The port."""
        return int(self.server_address[1])

    @property
    def url(self) -> str:
        """The address of the page to open."""
        return f"http://{HOME}:{self.port}/"

    def server_bind(self) -> None:
        """Bind without asking a name server what this machine is called."""
        TCPServer.server_bind(self)
        self.server_name, self.server_port = HOME, self.port

    def handle_error(self, request: object, client_address: object) -> None:
        """Say nothing of a reader who has left."""
        if not isinstance(sys.exc_info()[1], OSError):
            super().handle_error(request, client_address)  # type: ignore[arg-type]


@contextmanager
def serving(bench: Bench, port: int = 0) -> Iterator[Server]:
    """Hand out the pages of a bench meanwhile.

    Raises:
        DryfitError: if the port is taken, or not to be had.
    """
    with _opened(bench, port) as server:
        Thread(target=server.serve_forever, kwargs={"poll_interval": 0.05}, daemon=True).start()
        try:
            yield server
        finally:
            bench.end()
            server.shutdown()
            for stream in list(server.streams):
                stream.join(FAREWELL)


def _opened(bench: Bench, port: int) -> Server:
    try:
        return Server(bench, port)
    except OSError as error:
        raise DryfitError(f"port {port}: nothing can be served there: {error.strerror or error}") from error


class _Handler(BaseHTTPRequestHandler):
    server: Server
    server_version, sys_version = "dryfit", ""
    timeout = SLOW

    def do_GET(self) -> None:
        """Answer a request."""
        asked = urlsplit(self.path)
        name = unquote(asked.path.removeprefix(WAY)) if asked.path.startswith(WAY) else LIST
        if not self._is_meant():
            self._send(HTTPStatus.FORBIDDEN, b"Only pages of this server may ask it.\n")
        elif asked.path == "/favicon.ico":
            self._send(HTTPStatus.NO_CONTENT)
        elif asked.path == "/" and self.server.bench.start != LIST:
            self._send(HTTPStatus.FOUND, Location=address(self.server.bench.start))
        elif (asked.path != "/" and name == LIST) or not self.server.bench.has(name):
            self._send(HTTPStatus.NOT_FOUND, b"There is no such page.\n")
        elif asked.query == "changes":
            self._stream(name)
        else:
            self._page(name)

    def _is_meant(self) -> bool:
        """Whether a request was meant for this server, and comes from no page of another."""
        hosts = [name + end for name in NAMES for end in (f":{self.server.port}", *[""] * (self.server.port == 80))]
        host, origin = self.headers.get_all("Host", []), self.headers.get("Origin")
        return (
            len(host) == 1
            and host[0] in hosts
            and origin in (None, f"http://{host[0]}")
            and self.headers.get("Sec-Fetch-Site") in (None, "none", "same-origin")
        )

    def _page(self, name: str) -> None:
        page = self.server.bench.page(name, patience=PATIENCE)
        if page is None:
            self._send(HTTPStatus.SERVICE_UNAVAILABLE, b"The panel is still being checked.\n")
        else:
            self._send(HTTPStatus.OK, page.text, **{"Content-Type": "text/html; charset=utf-8"})

    def _stream(self, name: str) -> None:
        """Tell the number of a page whenever it changes, until the reader leaves or the watch ends."""
        self._head(HTTPStatus.OK, **{"Content-Type": "text/event-stream"})
        self.server.streams.add(current_thread())
        try:
            self._tell_changes(name)
        finally:
            self.server.streams.discard(current_thread())

    def _tell_changes(self, name: str) -> None:
        number, bench = 0, self.server.bench
        while not bench.ended and bench.has(name):
            page = bench.page(name, number, BEAT)
            if page is not None and page.number != number:
                number = page.number
                self.wfile.write(f"data: {number}\n\n".encode())
            elif not bench.ended:
                self.wfile.write(b":\n\n")
        self.wfile.write(b"event: end\ndata:\n\n")

    def _send(self, status: HTTPStatus, text: bytes = b"", **headers: str) -> None:
        self._head(status, **{"Content-Type": "text/plain", "Content-Length": str(len(text)), **headers})
        self.wfile.write(text)

    def _head(self, status: HTTPStatus, **headers: str) -> None:
        self.send_response(status)
        for name, value in {**HEADERS, **headers}.items():
            self.send_header(name, value)
        self.end_headers()

    def log_message(self, format: str, *arguments: object) -> None:
        """Keep the terminal for what is found."""
