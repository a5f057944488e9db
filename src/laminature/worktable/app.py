"""The server's one application: the page's files, and one websocket. No request takes a path."""

from __future__ import annotations

import hashlib
from collections.abc import AsyncIterator, Callable, Mapping
from contextlib import asynccontextmanager

from fastapi import FastAPI, Request, WebSocket
from fastapi.responses import PlainTextResponse, Response
from starlette.types import ASGIApp

from laminature.worktable.bundle import File
from laminature.worktable.safety import Guard
from laminature.worktable.session import Session
from laminature.worktable.table import Table


def create_app(make_table: Callable[[], Table], bundle: Mapping[str, File], token: str, port: int) -> ASGIApp:
    """The application for one start: ``token`` lets a page in, ``port`` is the one it is served on."""
    held: list[Table] = []

    @asynccontextmanager
    async def lifespan(_: FastAPI) -> AsyncIterator[None]:
        held.append(make_table())
        yield
        await held[0].close()

    app = FastAPI(docs_url=None, redoc_url=None, openapi_url=None, lifespan=lifespan)

    @app.websocket("/socket")
    async def socket(websocket: WebSocket) -> None:
        await Session(websocket, held[0], token).run()

    @app.api_route("/{_:path}", methods=["GET", "HEAD"])
    async def page(request: Request) -> Response:
        file = bundle.get(request.scope.get("raw_path", b"").decode("latin-1").partition("?")[0])
        if file is None:
            return PlainTextResponse("There is nothing here.\n", status_code=404)
        tag = f'"{hashlib.sha256(file.data).hexdigest()[:32]}"'
        rules = {"cache-control": "no-cache", "etag": tag}
        if request.headers.get("if-none-match") == tag:
            return Response(status_code=304, headers=rules)
        return Response(file.data, media_type=file.type, headers=rules)

    return Guard(app, port)
