"""Who may talk to the server, and what it hands out."""

import http.client
import json
import socket
from contextlib import suppress

import pytest
from websockets.exceptions import ConnectionClosed, InvalidStatus

from laminature.worktable import session


def get(server, path, host=None, origin=None, method="GET"):
    connection = http.client.HTTPConnection("127.0.0.1", server.port, timeout=5)
    connection.putrequest(method, path, skip_host=True)
    connection.putheader("Host", host or f"127.0.0.1:{server.port}")
    if origin:
        connection.putheader("Origin", origin)
    connection.endheaders()
    answer = connection.getresponse()
    body = answer.read()
    connection.close()
    return answer, body


def closed(raw):
    with pytest.raises(ConnectionClosed) as ended:
        while True:
            raw.recv(timeout=5)
    return ended.value.rcvd and ended.value.rcvd.code


def test_it_listens_on_loopback_alone(server):
    assert server._socket.getsockname()[0] == "127.0.0.1"


@pytest.mark.parametrize("name", ["127.0.0.1", "localhost", "[::1]", "LocalHost"])
def test_this_computers_own_names_are_served(server, name):
    answer, body = get(server, "/", host=f"{name}:{server.port}")
    assert (answer.status, body[:15]) == (200, b"<!doctype html>")


@pytest.mark.parametrize(
    "host", ["tides.example", "127.0.0.1", "127.0.0.1:1", "127.0.0.1.example:{}", "[::1"]
)
def test_a_foreign_host_is_refused(server, host):
    answer, body = get(server, "/", host=host.format(server.port))
    assert answer.status == 403
    assert b"page" not in body.replace(b"own page", b"")


@pytest.mark.parametrize(
    "origin", ["http://tides.example", "null", "https://127.0.0.1:{}", "http://localhost:{}"]
)
def test_a_foreign_origin_is_refused(server, origin):
    answer, _ = get(server, "/page.js", origin=origin.format(server.port))
    assert answer.status == 403


def test_its_own_origin_is_served(server):
    answer, body = get(server, "/page.js", origin=server.origin)
    assert (answer.status, body) == (200, b"export {}")


def test_the_page_may_load_only_what_is_its_own(server):
    answer, _ = get(server, "/")
    policy = dict(rule.split(" ", 1) for rule in answer.headers["content-security-policy"].split("; "))
    assert policy["default-src"] == policy["frame-ancestors"] == policy["base-uri"] == "'none'"
    assert policy["script-src"] == "'self'"
    assert f"ws://127.0.0.1:{server.port}" in policy["connect-src"]
    assert "unsafe" not in answer.headers["content-security-policy"]
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert answer.headers["referrer-policy"] == "no-referrer"
    assert answer.headers["cross-origin-opener-policy"] == "same-origin"
    assert answer.headers["cross-origin-resource-policy"] == "same-origin"
    assert answer.headers["cache-control"] == "no-cache"
    assert answer.headers["access-control-allow-origin"] is None


@pytest.mark.parametrize(
    "path",
    [
        "/../pyproject.toml",
        "/%2e%2e/pyproject.toml",
        "/..%2fpyproject.toml",
        "/page.js/..",
        "//page.js",
        "/./page.js",
        "/%70age.js",
        "/page.js%00",
        "/etc/passwd",
        "/docs",
        "/openapi.json",
        "/socket",
        "/\\page.js",
    ],
)
def test_no_request_takes_a_path(server, path):
    answer, body = get(server, path)
    assert (answer.status, body) == (404, b"There is nothing here.\n")


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "OPTIONS"])
def test_nothing_is_taken_but_questions(server, method):
    answer, _ = get(server, "/", method=method)
    assert answer.status == 405


@pytest.mark.parametrize("origin", ["http://tides.example", "null", None])
def test_a_websocket_of_a_foreign_page_is_refused(server, origin):
    with pytest.raises(InvalidStatus) as refused, server.socket(origin=origin):
        pass
    assert refused.value.response.status_code == 403


def test_a_websocket_with_a_foreign_host_is_refused(server):
    with socket.create_connection(("127.0.0.1", server.port), timeout=5) as raw:
        raw.sendall(
            b"GET /socket HTTP/1.1\r\nHost: tides.example\r\nUpgrade: websocket\r\nConnection: Upgrade\r\n"
            b"Origin: http://tides.example\r\n"
            b"Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\nSec-WebSocket-Version: 13\r\n\r\n"
        )
        assert raw.recv(200).startswith(b"HTTP/1.1 403")


@pytest.mark.parametrize(
    "first",
    [
        {"kind": "hello", "token": "wrong"},
        {"kind": "hello", "token": ""},
        {"kind": "hello", "token": "thé-token"},
        {"kind": "hello"},
        {"kind": "start"},
        ["hello"],
        None,
    ],
)
def test_without_the_token_the_connection_ends(server, first):
    with server.socket() as raw:
        raw.send(json.dumps(first))
        assert closed(raw) == 1008


def test_a_token_in_the_address_lets_nobody_in(server):
    answer, _ = get(server, f"/?token={server.token}")
    assert answer.status == 200, "an address with a query is the page itself, which still needs its token"
    with server.socket() as raw:
        raw.send("not json")
        assert closed(raw) == 1008


def test_a_page_that_does_not_say_who_it_is_is_sent_away(server, monkeypatch):
    monkeypatch.setattr(session, "HELLO_SECONDS", 0.2)
    with server.socket() as raw:
        assert closed(raw) == 1008


def test_a_message_that_is_too_large_ends_the_connection(server):
    with server.page() as page:
        with suppress(ConnectionClosed):
            page.say("drop", name="x.toml", text="#" * (5 << 20))
        # A page that is still sending may be cut off before it can read why.
        assert closed(page.raw) in (1009, None)
    with server.page() as page:
        page.say("start")
        page.hear("start")


@pytest.mark.parametrize(
    "said",
    [
        "",
        "{",
        "[]",
        "null",
        '{"kind": "rm"}',
        '{"kind": "set"}',
        '{"kind": "set", "seq": 1, "changes": []}',
        '{"kind": "set", "seq": 1, "changes": [{"path": [], "value": 1}]}',
        '{"kind": "set", "seq": 1, "changes": [{"path": [-1], "value": 1}]}',
        '{"kind": "set", "seq": 1, "changes": [{"path": ["a"], "value": NaN}]}',
        '{"kind": "set", "seq": 1, "changes": [{"path": ["a"], "value": {"b": 1}}]}',
        '{"kind": "set", "seq": "1", "changes": [{"path": ["a"], "value": 1}]}',
        '{"kind": "set", "seq": 1, "changes": [{"path": ["a"], "value": "\\ud800"}]}',
        '{"kind": "start", "path": "/etc"}',
        '{"kind": "improve", "seconds": -1}',
        '{"kind": "want", "what": ["everything"]}',
        "[" * 100_000,
    ],
)
def test_what_is_no_message_is_answered_in_words(page, said):
    page.raw.send(said)
    assert page.hear("trouble")["message"]
    page.say("start", id=3)
    assert page.hear("start", where=lambda header: header.get("id") == 3)


def test_the_answer_to_a_malformed_message_repeats_its_id(page):
    page.raw.send('{"kind": "set", "id": 41}')
    assert page.hear("trouble")["id"] == 41


def test_bytes_are_read_as_text_or_answered_in_words(page):
    page.raw.send(b"\xff\xfe\x00")
    assert page.hear("trouble")["message"]


@pytest.mark.parametrize("work", ["../works", "..", "bin", "pictures", "/etc", "a" * 200, "C:\\", "nul"])
def test_a_work_goes_by_its_name_alone(page, work):
    page.say("work", work=work, id=1)
    assert "no such work" in page.hear("trouble")["message"]
    page.say("forget", work=work, id=2)
    assert "no such work" in page.hear("trouble")["message"]


@pytest.mark.parametrize("copy", ["../design.toml", "20250101T000000Z.toml", "x" * 100])
def test_a_copy_goes_by_its_name_alone(page, copy):
    page.open()
    page.say("back", copy=copy)
    assert "no such copy" in page.hear("trouble")["message"]


def test_a_design_cannot_name_a_file_outside_its_folder(page):
    page.open()
    refused = page.set(("photo",), "../../photo.jpg")
    assert refused["kind"] == "refused"
    assert "climbs out" in refused["problems"][0]["message"]
