"""Who is let in, and what the page may load."""

import asyncio
import logging
import re
from collections.abc import Iterator
from typing import Any

import aiohttp
import pytest
from aiohttp import WSCloseCode

from tests.serve.serving import Served, browsing, served, until
from tui.serving import address, server

EVERYTHING = ("/", "/ws", "/static/js/textual.js", "/page/page.js", "/no-such-page")


class SilentTab:
    """A tab whose process draws nothing."""

    running = 0

    def __init__(self, book: str, **_: Any) -> None:
        pass

    async def start(self, width: int, height: int) -> None:
        SilentTab.running += 1

    async def stop(self) -> None:
        SilentTab.running -= 1


@pytest.fixture
def book() -> str:
    """A book that no tab of this file opens."""
    return "never-opened.db"


@pytest.fixture(autouse=True)
def no_processes(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setattr(server, "Tab", SilentTab)
    SilentTab.running = 0
    yield
    assert SilentTab.running == 0


async def status(session: aiohttp.ClientSession, url: str, **headers: str) -> int:
    async with session.get(url, headers=headers, allow_redirects=False) as answer:
        return answer.status


async def refused(session: aiohttp.ClientSession, to: Served, **headers: str) -> int:
    """Return the status of a websocket that was refused, 0 when it was let in."""
    try:
        async with session.ws_connect(to.ws, headers=headers):
            return 0
    except aiohttp.WSServerHandshakeError as error:
        return error.status


async def test_without_the_start_token_nothing_is_given(book: str) -> None:
    async with served(book) as to, browsing() as session:
        for path in EVERYTHING:
            assert await status(session, to.at + path) == 403, path
        assert await status(session, f"{to.at}/?start=wrong") == 403
        assert await status(session, f"{to.at}/?start=") == 403
        assert await refused(session, to, Origin=to.at) == 403


async def test_the_token_of_another_run_or_a_forged_cookie_opens_nothing(book: str) -> None:
    async with served(book) as to, browsing() as session:
        for forged in ("", "é", to.token[:-1], to.token + "x"):
            cookie = f"{to.server.guard.cookie}={forged}"
            assert await status(session, to.at + "/", Cookie=cookie) == 403


async def test_the_start_address_moves_the_token_to_a_cookie_and_out_of_the_address(
    book: str,
) -> None:
    async with served(book) as to, browsing() as session:
        async with session.get(to.start, allow_redirects=False) as answer:
            assert (answer.status, answer.headers["Location"]) == (303, "/")
            cookie = answer.headers["Set-Cookie"]
        assert "HttpOnly" in cookie
        assert "SameSite=Lax" in cookie
        async with session.get(to.at + "/") as page:
            assert page.status == 200
            assert to.token not in await page.text()


async def test_two_runs_never_share_a_token(book: str) -> None:
    async with served(book) as first, served(book) as second:
        assert first.token != second.token
        assert len(first.token) >= 32


@pytest.mark.parametrize(
    "origin",
    ["http://evil.example", "null", "http://127.0.0.1", "https://{host}", "http://localhost"],
)
async def test_a_page_from_elsewhere_can_neither_type_nor_read(book: str, origin: str) -> None:
    async with served(book) as to, browsing() as session:
        assert await status(session, to.start) == 303
        said = origin.format(host=to.at.removeprefix("http://"))
        assert await refused(session, to, Origin=said) == 403
        assert await status(session, to.at + "/", Origin=said) == 403


async def test_what_does_not_say_where_it_comes_from_cannot_type(book: str) -> None:
    async with served(book) as to, browsing() as session:
        assert await status(session, to.start) == 303
        assert await refused(session, to) == 403
        assert await refused(session, to, Origin=to.at) == 0


@pytest.mark.parametrize(
    "host",
    ["evil.example:{port}", "127.0.0.1", "127.0.0.1:1", "x@127.0.0.1:{port}", "127.0.0.1:{port}x",
     "192.168.0.9:{port}", ""],
)  # fmt: skip
async def test_a_request_under_another_name_is_refused(book: str, host: str) -> None:
    async with served(book) as to, browsing() as session:
        assert await status(session, to.start) == 303
        said = host.format(port=to.server.port)
        assert await status(session, to.at + "/", Host=said) == 403


@pytest.mark.parametrize(
    ("path", "known"),
    [("/?start=wrong", True)]
    + [(path, known) for path in EVERYTHING for known in (False, True) if path != "/ws"],
)
async def test_every_answer_forbids_whatever_is_not_of_this_server(
    book: str, path: str, known: bool
) -> None:
    async with served(book) as to, browsing() as session:
        if known:
            await status(session, to.start)
        async with session.get(to.at + path) as answer:
            rules = answer.headers["Content-Security-Policy"]
            assert answer.headers["Referrer-Policy"] == "no-referrer"
        assert "default-src 'none'" in rules
        assert "script-src 'self';" in rules
        assert "font-src 'self';" in rules
        assert "frame-ancestors 'none'" in rules
        foreign = re.findall(r"\w+://[^\s;]+", rules)
        assert set(foreign) <= {to.at.replace("http", "ws", 1)}


async def test_the_page_and_its_files_name_no_other_host(book: str) -> None:
    async with served(book) as to, browsing() as session:
        await status(session, to.start)
        for path in ("/", "/page/page.js", "/page/page.css"):
            async with session.get(to.at + path) as answer:
                found = re.findall(r"(?:https?|wss?)://[^\"'\s)]+", await answer.text())
            assert all(to.at.removeprefix("http") in name for name in found), found


async def test_no_folder_can_be_listed_and_no_file_beside_the_page_read(book: str) -> None:
    async with served(book) as to, browsing() as session:
        await status(session, to.start)
        for path in ("/page/", "/static/", "/page/..%2fguard.py", "/page/%2e%2e/guard.py"):
            assert await status(session, to.at + path) in (403, 404), path


async def test_one_tablet_too_many_is_told_so_and_gets_the_next_free_place(book: str) -> None:
    async with served(book, seats=2, wait_s=0.05) as to, browsing() as session:
        await status(session, to.start)
        first = await session.ws_connect(to.ws, origin=to.at)
        second = await session.ws_connect(to.ws, origin=to.at)
        await until(lambda: SilentTab.running == 2)
        third = await session.ws_connect(to.ws, origin=to.at)
        told = await third.receive()
        assert told.type is aiohttp.WSMsgType.CLOSE
        assert told.data == WSCloseCode.TRY_AGAIN_LATER
        assert "close one" in str(told.extra)
        assert SilentTab.running == 2
        await first.close()
        await until(lambda: SilentTab.running == 1)
        fourth = await session.ws_connect(to.ws, origin=to.at)
        await until(lambda: SilentTab.running == 2)
        await asyncio.gather(second.close(), fourth.close())


async def test_a_page_loaded_again_waits_for_its_own_place(book: str) -> None:
    async with served(book, seats=1) as to, browsing() as session:
        await status(session, to.start)
        first = await session.ws_connect(to.ws, origin=to.at)
        await until(lambda: SilentTab.running == 1)
        again = await session.ws_connect(to.ws, origin=to.at)
        await first.close()
        await again.send_str('["ping", "1"]')
        assert (await again.receive_json()) == ["pong", "1"]
        await again.close()


@pytest.mark.parametrize(
    "said", ["", "{}", "[]", '["stdin"]', '["stdin", 5]', '["resize", {}]', "7"]
)
async def test_a_message_no_page_sends_ends_that_connection_alone(book: str, said: str) -> None:
    async with served(book) as to, browsing() as session:
        await status(session, to.start)
        ws = await session.ws_connect(to.ws, origin=to.at)
        await ws.send_str(said)
        ended = await ws.receive()
        assert ended.type is aiohttp.WSMsgType.CLOSE
        assert ended.data == WSCloseCode.INVALID_TEXT
        assert await status(session, to.at + "/") == 200
        await ws.close()


async def test_the_token_stands_in_no_log(
    book: str, caplog: pytest.LogCaptureFixture, capsys: pytest.CaptureFixture[str]
) -> None:
    with caplog.at_level(logging.DEBUG):
        async with served(book) as to, browsing() as session:
            await status(session, to.start)
            await status(session, to.start, Origin="http://evil.example")
            await status(session, to.start + "x")
            ws = await session.ws_connect(to.ws, origin=to.at)
            await ws.send_str("nonsense")
            await ws.close()
            token = to.token
    assert token not in caplog.text
    said = capsys.readouterr()
    assert token not in said.out + said.err


@pytest.mark.parametrize(
    ("named", "host", "answered"),
    [
        ("localhost:80", "127.0.0.1", True),
        ("127.0.0.1", "localhost", True),
        ("[::1]:80", "::1", True),
        ("192.168.1.7", "127.0.0.1", False),
        ("192.168.1.7", "0.0.0.0", True),
        ("[fe80::7]", "::", True),
        ("evil.example", "0.0.0.0", False),
        ("192.168.1.8", "192.168.1.7", False),
        ("192.168.1.7:81", "192.168.1.7", False),
        ("bench", "bench", True),
        ("bench:", "bench", True),
        ("bench:x", "bench", False),
        ("", "127.0.0.1", False),
    ],
)
def test_names_answered_to_are_numbers_or_this_machines_own(
    named: str, host: str, answered: bool
) -> None:
    assert address.answers_to(named, host, 80) is answered


@pytest.mark.parametrize("host", ["127.0.0.1", "localhost", "::1", "127.3.3.3"])
def test_only_this_machine_reaches_a_loopback_address(host: str) -> None:
    assert address.who_reaches(host) == ""


@pytest.mark.parametrize("host", ["0.0.0.0", "::", "192.168.1.7", "bench"])
def test_outside_the_machine_one_sentence_says_who_can_reach_it(host: str) -> None:
    said = address.who_reaches(host)
    assert said.count(".") == 1
    assert "children" in said
