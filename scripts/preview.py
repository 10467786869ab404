"""A small web server that serves the finished site as a good host would: typed and compressed."""

import gzip
import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from functools import lru_cache, partial
from hashlib import sha256
from http import HTTPStatus
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from urllib.parse import urlsplit

from scripts.environment import WINDOWS

TYPES = {
    ".css": "text/css; charset=utf-8",
    ".csv": "text/csv; charset=utf-8",
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json",
    ".mjs": "text/javascript; charset=utf-8",
    ".pdf": "application/pdf",
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


class Pages(SimpleHTTPRequestHandler):
    """Answers with the site's files; what is missing gets the site's own page for that."""

    protocol_version = "HTTP/1.1"
    timeout = 60

    def do_GET(self) -> None:
        """Send a file."""
        self._answer(with_body=True)

    def do_HEAD(self) -> None:
        """Send what would go ahead of a file."""
        self._answer(with_body=False)

    def _answer(self, *, with_body: bool) -> None:
        path = Path(self.translate_path(self.path))
        if path.is_dir():
            asked = urlsplit(self.path)
            if not asked.path.endswith("/"):
                there = f"./{asked.path.rpartition('/')[2]}/"
                self._send(HTTPStatus.MOVED_PERMANENTLY, b"", {"Location": there})
                return
            path /= "index.html"
        status = HTTPStatus.OK
        if not path.is_file():
            status, path = HTTPStatus.NOT_FOUND, Path(self.directory) / "404.html"
            if not path.is_file():
                self._send(status, b"Nothing here yet.\n" if with_body else b"", {})
                return
        squeeze = path.suffix in SQUEEZED and "gzip" in self.headers.get("Accept-Encoding", "")
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

    def _send(
        self, status: HTTPStatus, data: bytes, headers: dict[str, str], *, with_body: bool = True
    ) -> None:
        self.send_response(status)
        for name, value in headers.items():
            self.send_header(name, value)
        if status is not HTTPStatus.NOT_MODIFIED:
            self.send_header("Content-Length", str(len(data)))
        self.end_headers()
        if with_body:
            self.wfile.write(data)

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002 - the library's name
        """Keep quiet; the browser's own tools show every request."""


class Server(ThreadingHTTPServer):
    """One server for one site; ``port`` 0 takes any free one."""

    daemon_threads = True
    allow_reuse_address = not WINDOWS  # there it would let two servers share a port

    def __init__(self, site: Path, port: int = 0, host: str = "127.0.0.1") -> None:
        super().__init__((host, port), partial(Pages, directory=str(site)))

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
