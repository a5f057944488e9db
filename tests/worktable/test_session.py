"""A page that does not read what it is sent."""

import asyncio
import json
from concurrent.futures import ThreadPoolExecutor

from laminature.store.works import Works
from laminature.worktable import session
from laminature.worktable.table import Table


class Deaf:
    """A socket whose other end says hello and never reads a thing."""

    def __init__(self):
        self.code = None
        self._said = [json.dumps({"kind": "hello", "token": "t"})]

    async def accept(self):
        pass

    async def receive(self):
        if self._said:
            return {"type": "websocket.receive", "text": self._said.pop()}
        await asyncio.Event().wait()
        return None

    async def send_bytes(self, data):
        await asyncio.Event().wait()

    async def close(self, code):
        self.code = code


def test_a_page_that_reads_nothing_is_sent_away(tmp_path, monkeypatch):
    monkeypatch.setattr(session, "MOST_UNREAD", 100_000)

    async def run():
        table = Table(Works(tmp_path))
        monkeypatch.setattr(table.bench, "start", lambda: None)
        page = session.Session(Deaf(), table, "t")
        talking = asyncio.create_task(page.run())
        await asyncio.sleep(0)
        for _ in range(40):
            page.forward(b"x" * 3000)
            await asyncio.sleep(0)
        await asyncio.wait_for(talking, 5)
        assert page.socket.code == session.TRY_LATER

    # In a thread of its own, as the server is: a browser's driver may have a loop in this one.
    with ThreadPoolExecutor(1) as pool:
        pool.submit(asyncio.run, run()).result()
