"""A small web server that serves the finished site as a good host would, or, for tests, a bad one.

    python -m scripts.web_server SITE [--port 8000] [--under /a/b/] [--plain]
                                 [--faults FILE] [--log FILE]

Started so, it is a process of its own that names its port and can be stopped for real. FILE of
faults is JSON, read anew at every request: {address: {"status", "type", "body", "file", "to",
"headers", "cut", "hang"}}; an address ending in * stands for all that begin so, and one with
nothing but headers is served with these instead of ours. Every address asked for is written to the
FILE of the log.
"""

import argparse
import gzip
import json
import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import lru_cache, partial
from hashlib import sha256
from http import HTTPStatus
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from scripts.setting_up.environment import WINDOWS, say

TYPES = {
    ".css": "text/css; charset=utf-8",
    ".csv": "text/csv; charset=utf-8",
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json",
    ".mjs": "text/javascript; charset=utf-8",
    ".pdf": "application/pdf",
    ".jpg": "image/jpeg",
    ".png": "image/png",
    ".svg": "image/svg+xml",
    ".txt": "text/plain; charset=utf-8",
    ".wasm": "application/wasm",
    ".webmanifest": "application/manifest+json",
    ".woff2": "font/woff2",
    ".xml": "application/xml",
    ".zip": "application/zip",
}
SQUEEZED = (".css", ".csv", ".html", ".js", ".json", ".mjs", ".svg", ".txt", ".wasm", ".xml")


@lru_cache(maxsize=256)
def _content(path: Path, changed: int, squeeze: bool) -> tuple[bytes, str]:
    """Return a file as it travels, and its tag; with ``changed`` no edited file goes stale."""
    data = path.read_bytes()
    tag = f'"{sha256(data).hexdigest()[:20]}{"-gz" if squeeze else ""}"'
    return (gzip.compress(data, 6, mtime=changed // 10**9) if squeeze else data), tag


@dataclass(frozen=True)
class Hosting:
    """How a site is served: under which path, with which faults, told to which log."""

    under: str = "/"
    compressed: bool = True
    faults: Path | None = None
    log: Path | None = None

    def fault(self, name: str) -> dict[str, Any]:
        """Return what is wrong with one address, or nothing."""
        faults = json.loads(self.faults.read_text(encoding="utf-8")) if self.faults else {}
        for pattern, fault in faults.items():
            if name == pattern or (pattern.endswith("*") and name.startswith(pattern[:-1])):
                return dict(fault)
        return {}


class Pages(SimpleHTTPRequestHandler):
    """Answers with the site's files; what is missing gets the site's own page for that."""

    protocol_version = "HTTP/1.1"
    timeout = 60

    def __init__(self, *arguments: Any, hosting: Hosting, directory: str) -> None:
        self.hosting = hosting
        self.other_headers: dict[str, str] = {}
        super().__init__(*arguments, directory=directory)

    def do_GET(self) -> None:
        """Send a file."""
        self._answer(with_body=True)

    def do_HEAD(self) -> None:
        """Send what would go ahead of a file."""
        self._answer(with_body=False)

    def _answer(self, *, with_body: bool) -> None:
        path, self.other_headers = urlsplit(self.path).path, {}
        if not path.startswith(self.hosting.under):
            self._send(HTTPStatus.NOT_FOUND, b"Nothing here.\n" if with_body else b"", {})
            return
        name = path.removeprefix(self.hosting.under)
        if self.hosting.log:
            with self.hosting.log.open("a", encoding="utf-8") as log:
                log.write(name + "\n")
        fault = self.hosting.fault(name)
        self.other_headers = fault.pop("headers", {})
        if fault:
            self._fail(fault)
        else:
            self._send_file(path, Path(self.translate_path("/" + name)), with_body=with_body)

    def _send_file(self, address: str, path: Path, *, with_body: bool) -> None:
        if path.is_dir():
            if not address.endswith("/"):
                folder = f"./{address.rpartition('/')[2]}/"
                self._send(HTTPStatus.MOVED_PERMANENTLY, b"", {"Location": folder})
                return
            path /= "index.html"
        status = HTTPStatus.OK
        if not path.is_file():
            status, path = HTTPStatus.NOT_FOUND, Path(self.directory) / "404.html"
            if not path.is_file():
                self._send(status, b"Nothing here yet.\n" if with_body else b"", {})
                return
        accepted = self.hosting.compressed and "gzip" in self.headers.get("Accept-Encoding", "")
        squeeze = accepted and path.suffix in SQUEEZED
        data, tag = _content(path, path.stat().st_mtime_ns, squeeze)
        headers = {
            "Content-Type": TYPES.get(path.suffix, "application/octet-stream"),
            "Cache-Control": "no-cache",
            "ETag": tag,
            "Vary": "Accept-Encoding",
            "X-Content-Type-Options": "nosniff",
        }
        if squeeze:
            headers["Content-Encoding"] = "gzip"
        if status is HTTPStatus.OK and self.headers.get("If-None-Match") == tag:
            self._send(HTTPStatus.NOT_MODIFIED, b"", headers)
            return
        self._send(status, data, headers, with_body=with_body)

    def _fail(self, fault: dict[str, Any]) -> None:
        if fault.get("hang"):
            time.sleep(600)
        body = fault.get("body", "").encode()
        headers = {"Content-Type": fault.get("type", "text/html; charset=utf-8")}
        if "file" in fault:
            body = Path(fault["file"]).read_bytes()
        if "to" in fault:
            headers["Location"] = fault["to"]
        if fault.get("cut"):  # promise more than is sent
            body = b"\0asm" * 100
            headers["Content-Length"] = "1000000"
            self.close_connection = True
        self._send(HTTPStatus(fault.get("status", 200)), body, headers)

    def _send(
        self, status: HTTPStatus, data: bytes, headers: dict[str, str], *, with_body: bool = True
    ) -> None:
        self.send_response(status)
        if status is not HTTPStatus.NOT_MODIFIED:
            headers = {"Content-Length": str(len(data)), **headers}
        for name, value in {**headers, **self.other_headers}.items():
            self.send_header(name, value)
        self.end_headers()
        if with_body:
            self.wfile.write(data)

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002 - the library's name
        """Keep quiet; the browser's own tools show every request."""


class Server(ThreadingHTTPServer):
    """One server for one site; ``port`` 0 takes any free one."""

    daemon_threads = True
    allow_reuse_address = not WINDOWS  # there it would let two servers share a port

    def __init__(
        self, site: Path, port: int = 0, host: str = "127.0.0.1", hosting: Hosting | None = None
    ) -> None:
        answering = partial(Pages, hosting=hosting or Hosting(), directory=str(site))
        super().__init__((host, port), answering)

    @property
    def address(self) -> str:
        """The address on this machine."""
        return f"http://localhost:{self.server_port}/"

    def handle_error(self, request: object, client_address: object) -> None:
        """Pass over browsers that hang up early."""


@contextmanager
def serving(site: Path, port: int = 0) -> Iterator[Server]:
    """Serve a site while a block of code runs."""
    with Server(site, port) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        try:
            yield server
        finally:
            server.shutdown()


def address_in_the_network(port: int) -> str:
    """Return the address for another device in the same network, or nothing when there is none.

    No packet is sent: the system is only asked which of its addresses it would use.
    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))
            own = str(probe.getsockname()[0])
        except OSError:
            return ""
    return "" if own.startswith(("127.", "0.")) else f"http://{own}:{port}/"


def main() -> None:
    """Serve from the command line until stopped."""
    parser = argparse.ArgumentParser(description="Serve a built site, well or badly.")
    parser.add_argument("site", type=Path)
    parser.add_argument("--port", type=int, default=8000)
    parser.add_argument("--under", default="/", help="the path that the site lies under")
    parser.add_argument(
        "--plain", action="store_true", help="compress nothing: quick on one machine"
    )
    parser.add_argument("--faults", type=Path, help="a JSON file of what goes wrong")
    parser.add_argument("--log", type=Path, help="where to write every address asked for")
    options = parser.parse_args()
    hosting = Hosting(options.under, not options.plain, options.faults, options.log)
    with Server(options.site, options.port, hosting=hosting) as server:
        say(str(server.server_port))
        server.serve_forever()


if __name__ == "__main__":
    main()
