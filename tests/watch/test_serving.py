"""The server gives out the files of the manual to this machine, and nothing else to nobody else."""

import http.client
import os
import socket
import threading
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import quote

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from procgen.watch.answer import Served
from procgen.watch.board import Board
from procgen.watch.rebuild import Outcome
from procgen.watch.server import PortError, serving, usual_port
from procgen.watch.site_file import read_site_file, wanted_path
from tests.written import write

POLICY = "default-src 'none'; style-src 'self'; script-src 'self'"
PAGE = f"""\
<!DOCTYPE html>
<html lang="en"><head>
<meta http-equiv="Content-Security-Policy" content="{POLICY}">
<title>Hinge</title>
</head>
<body><p>Two drops of oil.</p></body></html>
"""
OUTSIDE = "what lies outside"
TIME_OUT_S = 30


class Site:
    """A served manual."""

    def __init__(self, folder: Path, address: str) -> None:
        self.folder = folder
        self.port = int(address.rstrip("/").rpartition(":")[2])

    def ask(
        self, target: str, method: str = "GET", headers: tuple[tuple[str, str], ...] | None = None
    ) -> tuple[int, dict[str, str], bytes]:
        """The answer to a request whose target and headers are sent as they are, whatever they are."""
        named = (("Host", f"127.0.0.1:{self.port}"),) if headers is None else headers
        lines = [f"{method} {target} HTTP/1.1", *(f"{name}: {value}" for name, value in named), "", ""]
        with socket.create_connection(("127.0.0.1", self.port), TIME_OUT_S) as connection:
            connection.sendall("\r\n".join(lines).encode("latin-1"))
            response = http.client.HTTPResponse(connection, method=method)
            response.begin()
            return response.status, dict(response.getheaders()), response.read()


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    root = tmp_path_factory.mktemp("served")
    write(root, {"secret.txt": OUTSIDE, "site-secret/a.txt": OUTSIDE, "elsewhere/a.html": OUTSIDE})
    folder = write(
        root / "site",
        {
            "index.html": PAGE,
            "pumps/raw water.html": PAGE,
            "theme/page.css": "p { margin: 0 }",
            "theme/page.js": "1",
            "figures/pump.svg": "<svg xmlns='http://www.w3.org/2000/svg'><script>1</script></svg>",
            "figures/pump.png": "no picture",
            "%2e%2e/secret.txt": "a strange name of our own",
            "strange.bin": "?",
            ".procgen-manifest.json": "{}",
            ".git/config": "hidden",
        },
    )
    (folder / "link.txt").symlink_to(root / "secret.txt")
    (folder / "linked").symlink_to(root / "elsewhere")
    (folder / "inner.html").symlink_to(folder / "index.html")
    if hasattr(os, "mkfifo"):
        os.mkfifo(folder / "pipe.txt")
    board = Board()
    board.post(Outcome(changed=("index.html",)))
    with serving(Served(folder=folder.resolve(), library="procedures", board=board), None) as address:
        yield Site(folder, address)


@pytest.mark.parametrize(
    ("target", "content_type"),
    [
        ("/", "text/html; charset=utf-8"),
        ("/index.html?x=1#y", "text/html; charset=utf-8"),
        ("/pumps/raw%20water.html", "text/html; charset=utf-8"),
        ("/theme/page.css", "text/css; charset=utf-8"),
        ("/theme/page.js", "text/javascript; charset=utf-8"),
        ("/figures/pump.svg", "image/svg+xml; charset=utf-8"),
        ("/figures/pump.png", "image/png"),
        ("/strange.bin", "application/octet-stream"),
        ("/-watch/strip.js", "text/javascript; charset=utf-8"),
        ("/-watch/strip.css", "text/css; charset=utf-8"),
    ],
)
def test_files_are_served_as_what_they_are_and_never_kept(site: Site, target: str, content_type: str) -> None:
    status, headers, body = site.ask(target)
    assert (status, headers["Content-Type"]) == (200, content_type)
    assert (headers["Cache-Control"], headers["X-Content-Type-Options"]) == ("no-store", "nosniff")
    assert len(body) == int(headers["Content-Length"]) > 0


@pytest.mark.parametrize(
    "target",
    [
        "/../secret.txt",
        "/pumps/../../secret.txt",
        "/pumps/../index.html",
        "/./index.html",
        "/%2e%2e/secret.txt",
        "/%2e%2e%2fsecret.txt",
        "/..%2fsecret.txt",
        "/pumps%2f..%2f..%2fsecret.txt",
        "/%252e%252e%252fsecret.txt",
        "/..%252fsecret.txt",
        "/%c0%ae%c0%ae/secret.txt",
        "/%uff0e%uff0e/secret.txt",
        "/..\\secret.txt",
        "/..%5csecret.txt",
        "/%5c%5cserver%5cshare",
        "/C:/secret.txt",
        "/C:%5csecret.txt",
        "/index.html::$DATA",
        "/index.html%00.txt",
        "/secret.txt%00",
        "/%00",
        "/%0a",
        "/index.html/",
        "/index.html/..",
        "/../site-secret/a.txt",
        "/link.txt",
        "/linked/a.html",
        "/inner.html",
        "/pipe.txt",
        "/pumps",
        "/pumps/",
        "/theme/",
        "/.procgen-manifest.json",
        "/.git/config",
        "/%2egit/config",
        "/...",
        "/%ff%fe",
        "/%",
        "/index.html%20",
        "http://127.0.0.1/index.html",
        "file:///etc/passwd",
        "*",
        "index.html",
        "//etc/passwd",
        "///etc/passwd",
        "/" + "a/" * 3000,
        "/" + "x" * 20000,
    ],
)
def test_nothing_outside_hidden_linked_or_no_plain_file_is_served(site: Site, target: str) -> None:
    absolute = str(site.folder.parent / "secret.txt")
    for asked in (target, target.replace("secret.txt", absolute), "/" + quote(absolute, safe="")):
        status, _, body = site.ask(asked)
        assert status in (400, 404), asked
        assert OUTSIDE.encode() not in body
        assert b"hidden" not in body
        assert b"Traceback" not in body


def test_a_name_that_looks_encoded_is_a_name_when_it_is_encoded_again(site: Site) -> None:
    assert site.ask("/%252e%252e/secret.txt")[2] == b"a strange name of our own"


@given(st.lists(st.sampled_from([*"./\\%2eE5cCfF0:~ ", "\0", "..", "%2e", "%252f", "a", "ä", "secret.txt"])))
@example(["%2e%2e/secret.txt"])
def test_whatever_is_asked_for_names_a_path_inside_or_nothing(asked: list[str]) -> None:
    wanted = wanted_path("/" + "".join(asked))
    if wanted is not None:
        base = Path("/the/manual")
        assert os.path.normpath(base / wanted) == str(base / wanted)
        assert "\0" not in wanted
        assert not any(part.startswith(".") for part in wanted.split("/"))


def test_a_folder_that_turns_into_a_link_is_not_followed(tmp_path: Path) -> None:
    write(tmp_path, {"site/pumps/a.txt": "ours", "elsewhere/a.txt": OUTSIDE})
    folder = (tmp_path / "site").resolve()
    assert read_site_file(folder, "pumps/a.txt") == b"ours"
    (folder / "pumps").rename(tmp_path / "old")
    (folder / "pumps").symlink_to(tmp_path / "elsewhere")
    assert read_site_file(folder, "pumps/a.txt") is None


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT", "PROPFIND", "get"])
def test_the_manual_can_be_read_and_nothing_else(site: Site, method: str) -> None:
    status, headers, body = site.ask("/index.html", method)
    assert (status, headers["Allow"]) == (405, "GET, HEAD")
    assert b"drops" not in body


def test_head_says_what_get_would_give(site: Site) -> None:
    _, of_get, body = site.ask("/index.html")
    status, of_head, nothing = site.ask("/index.html", "HEAD")
    assert (status, nothing, int(of_head["Content-Length"])) == (200, b"", len(body))
    assert of_head["Content-Type"] == of_get["Content-Type"]
    assert site.ask("/-watch/news", "HEAD")[0] == 200


@pytest.mark.parametrize("host", ["evil.example", "evil.example:{port}", "127.0.0.1", "127.0.0.1:1", "localhost", ""])
@pytest.mark.parametrize("target", ["/index.html", "/-watch/news?since=1", "/-watch/strip.js"])
def test_a_request_that_names_another_host_gets_nothing(site: Site, host: str, target: str) -> None:
    status, _, body = site.ask(target, headers=(("Host", host.format(port=site.port)),))
    assert status == 421
    assert body == b"This address serves this machine only.\n"


def test_a_request_that_names_no_host_or_two_gets_nothing(site: Site) -> None:
    good = ("Host", f"127.0.0.1:{site.port}")
    assert site.ask("/", headers=())[0] == 421
    assert site.ask("/", headers=(good, ("Host", "evil.example")))[0] == 421
    assert site.ask("/", headers=(good, good))[0] == 421


def test_this_machine_may_be_called_localhost(site: Site) -> None:
    assert site.ask("/", headers=(("Host", f"localhost:{site.port}"),))[0] == 200


def test_it_listens_on_the_loopback_address_alone(site: Site) -> None:
    others = {str(info[4][0]) for info in socket.getaddrinfo(socket.gethostname(), site.port, type=socket.SOCK_STREAM)}
    for address in others - {"127.0.0.1"}:
        with pytest.raises(OSError, match=r"."), socket.create_connection((address, site.port), 1):
            pass


def test_a_page_is_served_with_the_strip_and_one_more_leave_and_its_file_is_as_it_was(site: Site) -> None:
    before = (site.folder / "index.html").read_bytes()
    served = site.ask("/")[2].decode()
    script = next(line for line in served.splitlines() if "/-watch/strip.js" in line)
    # What is added is one script, and one directive at the end of the policy.
    assert served.replace(script.removesuffix("</head>") + "\n", "").replace("; connect-src 'self'", "") == PAGE
    assert f"content=\"{POLICY}; connect-src 'self'\"" in served
    assert (site.folder / "index.html").read_bytes() == before


def test_what_is_no_page_is_served_byte_for_byte_and_runs_no_script(site: Site) -> None:
    _, headers, body = site.ask("/figures/pump.svg")
    assert body == (site.folder / "figures" / "pump.svg").read_bytes()
    assert "default-src 'none'" in headers["Content-Security-Policy"]
    assert "script-src" not in headers["Content-Security-Policy"]


def test_a_page_that_is_not_there_is_awaited_and_its_name_is_only_text(site: Site) -> None:
    status, headers, body = site.ask("/no%26such'page.html")
    assert (status, headers["Content-Type"]) == (404, "text/html; charset=utf-8")
    assert b"<code>no&amp;such&#x27;page.html</code>" in body
    assert b"/-watch/strip.js" in body


@pytest.mark.parametrize(
    "noise", [b"\r\n\r\n", b"\x16\x03\x01\x02\x00\x01\x00", b"GET\r\n\r\n", b"GET / HTTP/9\r\n\r\n"]
)
def test_noise_is_hung_up_on_and_the_next_request_is_answered(
    site: Site, noise: bytes, capfd: pytest.CaptureFixture[str]
) -> None:
    with socket.create_connection(("127.0.0.1", site.port), TIME_OUT_S) as connection:
        connection.sendall(noise)
        connection.shutdown(socket.SHUT_WR)
        connection.settimeout(TIME_OUT_S)
        while connection.recv(4096):
            pass
    assert site.ask("/")[0] == 200
    assert capfd.readouterr().err == ""


def test_a_port_that_is_taken_is_said_and_the_usual_one_gives_way(tmp_path: Path) -> None:
    served = Served(folder=tmp_path, library="procedures", board=Board())
    with serving(served, None) as first:
        port = int(first.rstrip("/").rpartition(":")[2])
        assert port == usual_port(tmp_path)
        with pytest.raises(PortError, match=f"Port {port} is taken by another program"), serving(served, port):
            pass
        with serving(Served(folder=tmp_path, library="procedures", board=Board()), None) as second:
            assert second != first


def test_closing_hangs_up_on_browsers_that_say_nothing(tmp_path: Path) -> None:
    before = set(threading.enumerate())
    with serving(Served(folder=tmp_path, library="procedures", board=Board()), None) as address:
        port = int(address.rstrip("/").rpartition(":")[2])
        silent = socket.create_connection(("127.0.0.1", port), TIME_OUT_S)
        listening = socket.create_connection(("127.0.0.1", port), TIME_OUT_S)
        listening.sendall(f"GET /-watch/news HTTP/1.1\r\nHost: localhost:{port}\r\n\r\n".encode())
        assert listening.recv(15) == b"HTTP/1.0 200 OK"
    assert set(threading.enumerate()) == before
    silent.close()
    listening.close()
