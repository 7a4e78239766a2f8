"""The server: to this machine alone, to its own pages alone, and nothing but its panels."""

from __future__ import annotations

import http.client
import socket
import time
from collections.abc import Iterator, Mapping
from pathlib import Path
from threading import Thread

import pytest

from dryfit.generators.live.bench import Bench
from dryfit.generators.live.server import HOME, Server, serving
from dryfit.models.reading.errors import DryfitError
from tests.generators.live.layouts import save, settle


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Bench, Server]]:
    bench = Bench(save(tmp_path_factory.mktemp("served") / "a.yaml"))
    settle(bench)
    with serving(bench) as server:
        yield bench, server


def _asked(
    server: Server, path: str, headers: Mapping[str, str] | None = None, method: str = "GET"
) -> http.client.HTTPResponse:
    connection = http.client.HTTPConnection(HOME, server.port, timeout=20)
    connection.request(method, path, headers=dict(headers or {}))
    return connection.getresponse()


def test_the_first_address_leads_to_the_panel(served: tuple[Bench, Server]) -> None:
    found = _asked(served[1], "/")
    assert (found.status, found.headers["Location"]) == (302, "/panel/a.yaml")
    page = _asked(served[1], "/panel/a.yaml")
    assert page.status == 200
    assert page.headers["Cache-Control"] == "no-store"
    assert page.headers["X-Content-Type-Options"] == "nosniff"
    assert b"<h1>One</h1>" in page.read()


@pytest.mark.parametrize(
    "headers",
    [
        {"Host": "evil.example"},
        {"Host": "127.0.0.1"},
        {"Host": "127.0.0.1.evil.example:{port}"},
        {"Host": "localhost:1"},
        {"Host": ""},
        {"Origin": "http://evil.example"},
        {"Origin": "null"},
        {"Origin": "http://127.0.0.1:1"},
        {"Origin": "https://127.0.0.1:{port}"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
    ],
    ids=str,
)
def test_other_hosts_and_origins_are_refused(served: tuple[Bench, Server], headers: dict[str, str]) -> None:
    filled = {name: value.format(port=served[1].port) for name, value in headers.items()}
    for path in ("/", "/panel/a.yaml", "/panel/a.yaml?changes", "/favicon.ico"):
        answer = _asked(served[1], path, filled)
        assert answer.status == 403, path
        assert b"One" not in answer.read()


def test_two_hosts_in_one_request_are_refused(served: tuple[Bench, Server]) -> None:
    connection = http.client.HTTPConnection(HOME, served[1].port)
    connection.putrequest("GET", "/panel/a.yaml", skip_host=True)
    for host in (f"{HOME}:{served[1].port}", "evil.example"):
        connection.putheader("Host", host)
    connection.endheaders()
    assert connection.getresponse().status == 403


def test_this_machine_may_call_itself_localhost(served: tuple[Bench, Server]) -> None:
    host = f"localhost:{served[1].port}"
    own = {"Host": host, "Origin": f"http://{host}", "Sec-Fetch-Site": "same-origin"}
    assert _asked(served[1], "/panel/a.yaml", own).status == 200


@pytest.mark.parametrize(
    "path",
    [
        "/panel/", "/panel", "/a.yaml", "/panel/b.yaml", "/panel/../a.yaml", "/panel/%2e%2e/a.yaml",
        "/panel//etc/passwd", "/panel/%2fetc%2fpasswd", "/panel/a.yaml%00", "/panel/..%5ca.yaml", "/?changes=1&a",
    ],
)  # fmt: skip
def test_nothing_but_panels_can_be_asked_for(served: tuple[Bench, Server], path: str) -> None:
    assert _asked(served[1], path).status == (302 if path.startswith("/?") else 404)


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "OPTIONS", "HEAD"])
def test_nothing_can_be_done_but_to_look(served: tuple[Bench, Server], method: str) -> None:
    assert _asked(served[1], "/panel/a.yaml", method=method).status == 501


def test_nobody_is_heard_but_on_the_loopback(served: tuple[Bench, Server]) -> None:
    assert served[1].socket.getsockname()[0] == "127.0.0.1"


def test_what_is_no_request_harms_nothing(served: tuple[Bench, Server], capfd: pytest.CaptureFixture[str]) -> None:
    for noise in (b"", b"\0\xff\r\n\r\n", b"GET\r\n\r\n", b"GET /panel/\xff HTTP/1.0\r\nHost: \xff\r\n\r\n"):
        with socket.create_connection((HOME, served[1].port)) as connection:
            connection.sendall(noise)
    assert _asked(served[1], "/panel/a.yaml").status == 200
    assert capfd.readouterr().err == ""


@pytest.fixture
def own(tmp_path: Path) -> Iterator[tuple[Bench, Server]]:
    """Return a bench that a test may change."""
    bench = Bench(save(tmp_path / "a.yaml"))
    settle(bench)
    with serving(bench) as server:
        yield bench, server


def test_a_stream_tells_the_number_of_every_state_and_the_end(own: tuple[Bench, Server], tmp_path: Path) -> None:
    bench, server = own
    stream = _asked(server, "/panel/a.yaml?changes")
    assert stream.headers["Content-Type"] == "text/event-stream"
    page = bench.page("a.yaml")
    assert page is not None
    assert stream.readline() == f"data: {page.number}\n".encode()
    save(tmp_path / "a.yaml", title="Two")
    assert bench.work()
    assert [stream.readline(), stream.readline()] == [b"\n", f"data: {page.number + 1}\n".encode()]
    bench.end()
    assert stream.read() == b"\nevent: end\ndata:\n\n"


def test_a_page_that_is_not_checked_yet_is_waited_for(tmp_path: Path) -> None:
    bench = Bench(save(tmp_path / "a.yaml"))
    with serving(bench) as server:
        answers: list[int] = []
        asking = Thread(target=lambda: answers.append(_asked(server, "/panel/a.yaml").status))
        asking.start()
        settle(bench)
        asking.join(20)
    assert answers == [200]


def test_streams_that_are_open_end_with_the_server(tmp_path: Path) -> None:
    bench = Bench(save(tmp_path / "a.yaml"))
    settle(bench)
    with serving(bench) as server:
        stream = _asked(server, "/panel/a.yaml?changes")
        assert stream.readline().startswith(b"data: ")
        until = time.monotonic() + 20
        while not server.streams and time.monotonic() < until:
            time.sleep(0.01)
    assert stream.read().endswith(b"event: end\ndata:\n\n")
    assert server.streams == set()


def test_a_port_that_is_taken_is_told_in_one_line(served: tuple[Bench, Server], tmp_path: Path) -> None:
    with (
        pytest.raises(DryfitError, match=f"port {served[1].port}: nothing can be served there"),
        serving(served[0], served[1].port),
    ):
        pass
