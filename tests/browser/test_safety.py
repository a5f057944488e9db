"""Who may talk to the work table: this page of this start alone."""

import http.server
import threading
import urllib.error
import urllib.request

import pytest
from playwright.sync_api import expect

TALK = """(address) => new Promise((done) => {
  const socket = new WebSocket(address);
  let heard = 0;
  socket.onmessage = () => { heard += 1; };
  socket.onopen = () => socket.send(JSON.stringify({ kind: "hello", token: "guessed" }));
  socket.onclose = (event) => done([event.code, heard]);
})"""


@pytest.fixture
def elsewhere():
    """A page of somebody else on this computer."""

    class Page(http.server.BaseHTTPRequestHandler):
        def do_GET(self):
            self.send_response(200)
            self.send_header("content-type", "text/html")
            self.end_headers()
            self.wfile.write(b"<!doctype html><title>elsewhere</title>")

        def log_message(self, *words):
            pass

    server = http.server.HTTPServer(("127.0.0.1", 0), Page)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}/"
    server.shutdown()
    server.server_close()


def test_a_page_from_elsewhere_gets_no_connection_and_no_answer(windows, start, elsewhere):
    desk = windows(start)
    desk.loss_expected = True
    desk.page.goto(elsewhere)
    code, heard = desk.page.evaluate(TALK, f"ws://127.0.0.1:{start.port}/socket")
    assert (code, heard) == (1006, 0)
    told = desk.page.evaluate(
        """(address) => fetch(address).then((answer) => answer.text(), (error) => "refused: " + error)""",
        f"http://127.0.0.1:{start.port}/",
    )
    assert told.startswith("refused: ")
    desk.page.evaluate(
        """(address) => new Promise((done) => {
          const frame = document.createElement("iframe");
          frame.src = address;
          frame.onload = () => done();
          document.body.append(frame); })""",
        f"http://127.0.0.1:{start.port}/",
    )
    (frame,) = desk.page.frames[1:]
    assert "Laminature" not in frame.content()
    assert frame.locator("#table").count() == 0


def test_without_the_token_or_with_another_the_page_is_sent_away(windows, start):
    desk = windows(start)
    desk.loss_expected = True
    desk.page.goto(f"http://127.0.0.1:{start.port}/#token=guessed")
    expect(desk.page.get_by_role("alert")).to_contain_text("earlier start of Laminature")
    desk.page.goto(f"http://127.0.0.1:{start.port}/")
    desk.page.evaluate("sessionStorage.clear()")
    desk.page.reload()
    expect(desk.page.get_by_role("alert")).to_contain_text("earlier start of Laminature")


@pytest.mark.parametrize("host", ["example.org", "127.0.0.1.example.org", "localhost:1", "10.0.0.1", ""])
def test_a_foreign_host_is_refused(start, host):
    request = urllib.request.Request(f"http://127.0.0.1:{start.port}/", headers={"Host": host})
    with pytest.raises(urllib.error.HTTPError) as refused:
        urllib.request.urlopen(request)
    assert refused.value.code in (400, 403)


def test_the_token_leaves_the_address_and_nothing_is_asked_of_others(desk):
    expect(desk.page.get_by_role("heading", name="What shall be made?")).to_be_visible()
    assert "token" not in desk.page.url
    desk.begun()
    own = f"http://127.0.0.1:{desk.start.port}/"
    assert all(request.startswith((own, "blob:", "data:")) for request in desk.requests)


def test_the_pages_own_rules_stop_foreign_code(desk):
    expect(desk.page.get_by_role("heading", name="What shall be made?")).to_be_visible()
    desk.loss_expected = True  # the browser tells that it has blocked these
    ran = desk.page.evaluate(
        """() => new Promise((done) => {
          const inline = document.createElement("script");
          inline.textContent = "window.ran = 'inline'";
          const other = document.createElement("script");
          other.src = "data:text/javascript,window.ran='other'";
          other.onerror = () => done(window.ran ?? "nothing");
          document.body.append(inline, other);
        })"""
    )
    assert ran == "nothing"
