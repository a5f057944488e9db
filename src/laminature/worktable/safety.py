"""Who may talk to the server: this computer's own page, by its address, its origin and its token.

The server listens on loopback alone, but any page in the same browser can send requests there, and a
name of its own can be made to lead there (DNS rebinding). So the Host has to be one of ours, an Origin
has to be ours too (always on a websocket), and the first message has to bring the token of this start,
which only the address that was opened holds, in its fragment: fragments are never sent to a server.
"""

from __future__ import annotations

import hmac
import secrets
from collections.abc import Iterable, Mapping

from starlette.types import ASGIApp, Message, Receive, Scope, Send

#: Names by which a browser may call this computer.
HOSTS = ("127.0.0.1", "localhost", "[::1]")
#: The close code of a connection that is not wanted (RFC 6455, 7.4.1: policy violation).
POLICY = 1008


def new_token() -> str:
    """A token for one start of the server."""
    return secrets.token_urlsafe(32)


def same(given: str, token: str) -> bool:
    """Whether two tokens are the same, in a time that does not tell how far they agree."""
    return hmac.compare_digest(given.encode("utf-8", "replace"), token.encode())


def headers(port: int) -> Mapping[str, str]:
    """What every answer says beside its content."""
    # Browsers know no IPv6 addresses in a policy; there 'self' has to do, which takes in websockets.
    sockets = " ".join(f"ws://{host}:{port}" for host in HOSTS if not host.startswith("["))
    policy = {
        "default-src": "'none'",
        "script-src": "'self'",
        "style-src": "'self'",
        "img-src": "'self' blob: data:",
        "connect-src": f"'self' {sockets}",
        "base-uri": "'none'",
        "form-action": "'none'",
        "frame-ancestors": "'none'",
    }
    return {
        "content-security-policy": "; ".join(f"{name} {value}" for name, value in policy.items()),
        "x-content-type-options": "nosniff",
        "referrer-policy": "no-referrer",
        "cross-origin-opener-policy": "same-origin",
        "cross-origin-resource-policy": "same-origin",
        "x-frame-options": "DENY",
        "permissions-policy": "camera=(), microphone=(), geolocation=()",
    }


class Guard:
    """Lets only requests with our Host, and with our Origin or none, through to ``app``."""

    def __init__(self, app: ASGIApp, port: int) -> None:
        self.app = app
        self.hosts = frozenset(f"{host}:{port}".encode() for host in HOSTS)
        self.headers = [(k.encode(), v.encode()) for k, v in headers(port).items()]

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, or refuse it."""
        if scope["type"] not in ("http", "websocket"):
            await self.app(scope, receive, send)
            return
        if not self.welcome(scope["headers"], needs_origin=scope["type"] == "websocket"):
            await self.refuse(scope, receive, send)
            return

        async def with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                message = {**message, "headers": [*message["headers"], *self.headers]}
            await send(message)

        await self.app(scope, receive, with_headers)

    def welcome(self, given: Iterable[tuple[bytes, bytes]], *, needs_origin: bool) -> bool:
        """Whether a request's Host and Origin are ours."""
        found = list(given)
        hosts = [v for k, v in found if k == b"host"]
        origins = [v for k, v in found if k == b"origin"]
        if len(hosts) != 1 or hosts[0].lower() not in self.hosts:
            return False
        if not origins:
            return not needs_origin
        return len(origins) == 1 and origins[0].lower() == b"http://" + hosts[0].lower()

    async def refuse(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Say no and nothing else; a websocket is refused before it is opened."""
        if scope["type"] == "websocket":
            await receive()
            await send({"type": "websocket.close", "code": POLICY})
            return
        body = b"This server answers only its own page.\n"
        plain = [
            (b"content-type", b"text/plain; charset=utf-8"),
            (b"content-length", str(len(body)).encode()),
        ]
        await send({"type": "http.response.start", "status": 403, "headers": [*plain, *self.headers]})
        await send({"type": "http.response.body", "body": body})
