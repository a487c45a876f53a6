"""The server itself, over a socket: starts, answers, stops; and says what stands in its way."""

from __future__ import annotations

import signal
import socket
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest

from api.bootstrap import ROOT
from api.serving import address_trouble, base_url
from api.store import load_folder
from db import write_folder
from tests.folder.small_folder import SMALL_FOLDER


@pytest.fixture(scope="module")
def database(tmp_path_factory: pytest.TempPathFactory) -> str:
    root = tmp_path_factory.mktemp("serving")
    write_folder(root / "small", SMALL_FOLDER)
    url = f"sqlite:///{root / 'served.db'}"
    load_folder(url, root / "small", publish=True)
    return url


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
    return port


@pytest.fixture
def server(database: str) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """A process of its own, told to stop when the test is done with it."""
    port = free_port()
    command = [sys.executable, "-m", "api.cli", "--database", database,
               "serve", "--port", str(port)]  # fmt: skip
    with subprocess.Popen(
        command, cwd=ROOT, stderr=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as running:
        watchdog = threading.Timer(120, running.kill)
        watchdog.start()
        assert running.stderr is not None
        said = running.stderr.readline()
        assert said == f"Serving on http://127.0.0.1:{port} until Ctrl+C.\n"
        yield running, base_url("127.0.0.1", port)
        watchdog.cancel()
        running.kill()


def test_it_says_when_it_serves_and_stops_at_ctrl_c(
    server: tuple[subprocess.Popen[str], str],
) -> None:
    running, url = server
    asked = {"vehicle": {"id": "tern_900"}, "jobs": ["cam_upgrade"]}
    answer = httpx.post(f"{url}/v1/build-lists", json=asked)
    assert (answer.status_code, answer.json()["status"]) == (200, "needs_facts")
    assert "server" not in answer.headers
    assert httpx.head(f"{url}/v1/jobs").status_code == 200
    assert answer.headers["content-security-policy"]
    running.send_signal(signal.SIGINT)
    _, err = running.communicate()
    assert (running.returncode, err) == (0, "")


def test_it_stops_when_the_system_says_so(server: tuple[subprocess.Popen[str], str]) -> None:
    running, _ = server
    running.terminate()
    _, err = running.communicate()
    assert (running.returncode, err) == (-signal.SIGTERM, "")


def test_bytes_that_are_no_http_get_a_refusal_and_it_goes_on(
    server: tuple[subprocess.Popen[str], str],
) -> None:
    _, url = server
    port = int(url.rpartition(":")[2])
    with socket.create_connection(("127.0.0.1", port), timeout=60) as raw:
        raw.sendall(b"\x16\x03\x01 not http\r\n\r\n")
        assert b"400" in raw.recv(4096)
    assert httpx.get(f"{url}/healthz").json() == {"status": "alive"}


def test_a_taken_port_is_said_with_the_mend() -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        said = address_trouble("127.0.0.1", port)
    assert said == (
        f"Port {port} on 127.0.0.1 is taken. Stop what uses it, or add --port {port + 1}."
    )
    assert address_trouble("127.0.0.1", free_port()) is None


@pytest.mark.parametrize(
    ("host", "port", "says"),
    [
        ("127.0.0.1", 0, "There is no port 0"),
        ("127.0.0.1", 70000, "There is no port 70000"),
        ("192.0.2.1", 8000, "cannot be served on"),  # TEST-NET-1, RFC 5737: never ours
        ("no host", 8000, "cannot be served on"),
    ],
)
def test_other_trouble_is_said_too(host: str, port: int, says: str) -> None:
    assert says in (address_trouble(host, port) or "")


def test_the_served_database_must_exist(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "api.cli", "--database", f"sqlite:///{tmp_path / 'no.db'}",
               "serve", "--port", str(free_port())]  # fmt: skip
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout) == (2, "")
    assert "once-apart load" in done.stderr


def test_addresses_are_written_as_they_are_dialled() -> None:
    assert base_url("127.0.0.1", 8000) == "http://127.0.0.1:8000"
    assert base_url("::1", 8000) == "http://[::1]:8000"
