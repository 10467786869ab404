"""A web host for the tests, in a process of its own so that it can be stopped for real.

python tests/browser/host.py SITE PORT PREFIX FAULTS LOG

It serves SITE under PREFIX as the project's own server does, writes every address asked for to LOG,
and misbehaves as the JSON file FAULTS says: {address: {"status", "type", "body", "to", "cut",
"hang", "cache"}}; an address ending in * stands for all that begin so.
"""

import json
import sys
import time
from functools import partial
from http import HTTPStatus
from http.server import ThreadingHTTPServer
from pathlib import Path
from urllib.parse import urlsplit

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from scripts.preview import Pages


class Host(Pages):
    """The project's own server, under a prefix, with faults."""

    def __init__(self, *given, prefix, faults, log, **named):
        self.prefix, self.faults, self.log = prefix, faults, log
        self.fault = {}
        super().__init__(*given, **named)

    def do_GET(self):
        del self.headers["Accept-Encoding"]  # nothing to gain on one machine
        path = urlsplit(self.path).path
        if not path.startswith(self.prefix):
            self._send(HTTPStatus.NOT_FOUND, b"nothing here", {"Content-Type": "text/plain"})
            return
        name = path.removeprefix(self.prefix)
        with self.log.open("a") as log:
            log.write(name + "\n")
        self.fault = self.find_fault(name)
        if self.fault:
            self.misbehave()
        else:
            self.path = "/" + self.path.removeprefix(self.prefix)
            self.redirect_prefix = self.prefix
            super().do_GET()

    def find_fault(self, name):
        faults = json.loads(self.faults.read_text())
        for pattern, fault in faults.items():
            if name == pattern or (pattern.endswith("*") and name.startswith(pattern[:-1])):
                return fault
        return {}

    def misbehave(self):
        fault = self.fault
        if fault.get("hang"):
            time.sleep(600)
        if fault.get("cut"):  # promise more than is sent
            self.send_response(200)
            self.send_header("Content-Type", fault.get("type", "application/octet-stream"))
            self.send_header("Content-Length", "1000000")
            self.end_headers()
            self.wfile.write(b"\0asm" * 100)
            self.close_connection = True
            return
        headers = {"Content-Type": fault.get("type", "text/html; charset=utf-8")}
        if "to" in fault:
            headers["Location"] = fault["to"]
        if "file" in fault:
            body = Path(fault["file"]).read_bytes()
        else:
            body = fault.get("body", "").encode()
        self._send(HTTPStatus(fault.get("status", 200)), body, headers)

    def _send(self, status, data, headers, *, with_body=True):
        if status == HTTPStatus.MOVED_PERMANENTLY and "to" not in self.fault:
            headers["Location"] = self.prefix.rstrip("/") + headers["Location"]
        if urlsplit(self.path).path.endswith("service-worker.js") and self.always_cached():
            headers["Cache-Control"] = "max-age=31536000"
        super()._send(status, data, headers, with_body=with_body)

    def always_cached(self):
        return "service-worker.js is cached for a year" in self.faults.read_text()


def main():
    site, port, prefix, faults, log = sys.argv[1:]
    handler = partial(Host, directory=site, prefix=prefix, faults=Path(faults), log=Path(log))
    server = ThreadingHTTPServer(("127.0.0.1", int(port)), handler)
    server.daemon_threads = True
    server.handle_error = lambda *_: None  # browsers hang up early
    print("ready", flush=True)
    server.serve_forever()


if __name__ == "__main__":
    main()
