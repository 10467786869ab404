"""The web server: types, compression, repeat visits, what is missing, faults on purpose."""

import gzip
import http.client
import json
import socket
import threading

import pytest

from scripts.web_server import Hosting, Server, address_in_the_network, serving


@pytest.fixture(scope="module")
def server(tmp_path_factory):
    site = tmp_path_factory.mktemp("a site")
    (site / "sett").mkdir()
    (site / "index.html").write_text("<h1>first page</h1>" * 50)
    (site / "sett/index.html").write_text("<h1>sett</h1>")
    (site / "404.html").write_text("<h1>no page here</h1>")
    (site / "half ½.txt").write_text("half")
    for name in (
        "worker.mjs",
        "python.wasm",
        "library.zip",
        "letters.woff2",
        "manifest.webmanifest",
    ):
        (site / name).write_bytes(b"\0asm" * 300)
    (site.parent / "secret.txt").write_text("not for you")
    with serving(site) as server:
        yield server


def ask(server, path, method="GET", **headers):
    line = http.client.HTTPConnection("127.0.0.1", server.server_port, timeout=10)
    named = {name.replace("_", "-"): value for name, value in headers.items()}
    line.request(method, path, headers=named)
    reply = line.getresponse()
    body = reply.read()
    line.close()
    return reply.status, {name.lower(): value for name, value in reply.getheaders()}, body


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("/", "text/html; charset=utf-8"),
        ("/sett/", "text/html; charset=utf-8"),
        ("/worker.mjs", "text/javascript; charset=utf-8"),
        ("/python.wasm", "application/wasm"),
        ("/library.zip", "application/zip"),
        ("/letters.woff2", "font/woff2"),
        ("/manifest.webmanifest", "application/manifest+json"),
        ("/half%20%C2%BD.txt", "text/plain; charset=utf-8"),
        ("/?h=word", "text/html; charset=utf-8"),
    ],
)
def test_files_come_with_their_type(server, path, kind):
    status, headers, _ = ask(server, path)
    assert (status, headers["content-type"]) == (200, kind)


def test_text_travels_compressed_to_those_who_can_read_it(server):
    _, plain_headers, plain = ask(server, "/")
    _, headers, packed = ask(server, "/", Accept_Encoding="gzip, br")
    assert "content-encoding" not in plain_headers
    assert headers["content-encoding"] == "gzip"
    assert gzip.decompress(packed) == plain
    assert len(packed) < len(plain)


def test_what_is_packed_already_is_not_packed_again(server):
    _, headers, _ = ask(server, "/library.zip", Accept_Encoding="gzip")
    assert "content-encoding" not in headers


def test_a_second_visit_is_told_that_nothing_changed(server):
    tag = ask(server, "/sett/")[1]["etag"]
    status, _, body = ask(server, "/sett/", If_None_Match=tag)
    assert (status, body) == (304, b"")


def test_a_folder_without_its_stroke_is_led_on(server):
    status, headers, _ = ask(server, "/sett")
    assert (status, headers["location"]) == (301, "./sett/")


def test_what_is_missing_gets_the_sites_own_page(server):
    status, _, body = ask(server, "/nowhere/")
    assert status == 404
    assert b"no page here" in body


@pytest.mark.parametrize(
    "path", ["/../secret.txt", "/%2e%2e/secret.txt", "/sett/..%2f..%2fsecret.txt"]
)
def test_nothing_outside_the_site_is_served(server, path):
    status, _, body = ask(server, path)
    assert status == 404
    assert b"not for you" not in body


def test_only_what_goes_ahead_is_sent_when_asked(server):
    status, headers, body = ask(server, "/", "HEAD")
    assert status == 200
    assert int(headers["content-length"]) > 0
    assert body == b""


def test_nothing_is_taken_in(server):
    assert ask(server, "/", "POST")[0] == 501


def test_without_a_network_no_address_is_named(monkeypatch):
    class Unplugged(socket.socket):
        def connect(self, address):
            raise OSError

    monkeypatch.setattr(socket, "socket", Unplugged)
    assert address_in_the_network(8000) == ""


# A bad host, for tests ----------------------------------------------------------------------------


@pytest.fixture
def host(tmp_path):
    """A server under /a/b/ whose faults a test may choose."""
    (tmp_path / "care").mkdir()
    (tmp_path / "care/index.html").write_text("<h1>care</h1>")
    (tmp_path / "faults.json").write_text("{}")
    faults, log = tmp_path / "faults.json", tmp_path / "asked.log"
    hosting = Hosting("/a/b/", compressed=False, faults=faults, log=log)
    with Server(tmp_path, hosting=hosting) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        server.fail = lambda found: faults.write_text(json.dumps(found))
        server.asked = lambda: log.read_text().splitlines()
        yield server
        server.shutdown()


def test_a_site_may_lie_under_a_path(host):
    assert ask(host, "/a/b/care/")[2] == b"<h1>care</h1>"
    assert ask(host, "/a/b/care")[1]["location"] == "./care/"
    assert ask(host, "/care/")[0] == 404
    assert host.asked() == ["care/", "care"]


def test_a_plain_host_compresses_nothing(host):
    assert "content-encoding" not in ask(host, "/a/b/care/", Accept_Encoding="gzip")[1]


def test_a_fault_is_what_the_file_says_until_it_is_mended(host):
    host.fail({"care/": {"status": 500, "body": "broken", "type": "text/plain"}})
    status, headers, body = ask(host, "/a/b/care/")
    assert (status, headers["content-type"], body) == (500, "text/plain", b"broken")
    host.fail({})
    assert ask(host, "/a/b/care/")[0] == 200


def test_a_fault_may_stand_for_all_that_begins_so(host):
    host.fail({"ca*": {"status": 302, "to": "/elsewhere"}})
    status, headers, _ = ask(host, "/a/b/care/")
    assert (status, headers["location"]) == (302, "/elsewhere")


def test_an_answer_may_break_off(host):
    host.fail({"care/": {"cut": True}})
    with pytest.raises(http.client.IncompleteRead):
        ask(host, "/a/b/care/")


def test_a_good_answer_may_have_other_headers(host):
    host.fail({"care/": {"headers": {"Cache-Control": "max-age=9"}}})
    status, headers, body = ask(host, "/a/b/care/")
    assert (status, headers["cache-control"], body) == (200, "max-age=9", b"<h1>care</h1>")
