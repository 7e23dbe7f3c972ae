"""Who is let in: the right Host, our own page as Origin, and the start token in a cookie."""

import hmac
import secrets
from typing import Final

from aiohttp import web
from aiohttp.typedefs import Handler, Middleware

from tui.serving import address

#: Name of the token in the start address.
START: Final = "start"
_TOKEN_BYTES: Final = 24
_WRONG_HOST: Final = "Nothing is served under this name: open the address sequencer printed.\n"
_FOREIGN: Final = "Another page asked for this; only the page of sequencer itself may.\n"
_NOT_LET_IN: Final = (
    "This browser has not been let in: open the whole address sequencer printed when it "
    "started, with what stands after the question mark.\n"
)


class Guard:
    """Lets in who has the start token, and nobody through a page of someone else.

    The token comes in once, with the start address, and is moved to a cookie that other sites
    cannot have sent (SameSite) and scripts cannot read (HttpOnly). Cookies are shared between
    the ports of a machine, so its name has the port.

    Parameters
    ----------
    host : str
        Where the server listens.
    port : int
        And at which port; set once it is known where 0 lets the system choose.
    encrypted : bool
        Whether it is spoken to over TLS only.
    """

    def __init__(self, host: str, port: int, *, encrypted: bool = False) -> None:
        self.host, self.port, self.encrypted = host, port, encrypted
        self.scheme = "https" if encrypted else "http"
        self._token = secrets.token_urlsafe(_TOKEN_BYTES)

    @property
    def start_address(self) -> str:
        """The one address that lets a browser in."""
        return f"{address.origin(self.host, self.port, self.scheme)}/?{START}={self._token}"

    @property
    def cookie(self) -> str:
        """The cookie's name."""
        return f"sequencer_{self.port}"

    def socket_at(self, host: str) -> str:
        """Return the origin of the websocket under a name of this machine."""
        return f"{'wss' if self.encrypted else 'ws'}://{host}"

    def watch(self, app: web.Application) -> None:
        """Put the guard in front of everything an application serves."""
        app.middlewares.append(self._middleware())
        app.on_response_prepare.append(self._add_headers)

    def _middleware(self) -> Middleware:
        @web.middleware
        async def guarded(request: web.Request, handler: Handler) -> web.StreamResponse:
            self._turn_away(request)
            if request.path == "/" and START in request.query:
                return self._let_in(request)
            if not self._is_token(request.cookies.get(self.cookie, "")):
                raise web.HTTPForbidden(text=_NOT_LET_IN)
            return await handler(request)

        return guarded

    def _turn_away(self, request: web.Request) -> None:
        """Refuse what comes under another name, or from another page."""
        hosts = request.headers.getall("Host", [])
        here = self.host, self.port, self.scheme
        if len(hosts) != 1 or not address.answers_to(hosts[0], *here):
            raise web.HTTPForbidden(text=_WRONG_HOST)
        origins, own = request.headers.getall("Origin", []), f"{self.scheme}://{hosts[0]}"
        typed = request.headers.get("Upgrade", "") != ""
        if (typed and not origins) or any(said != own for said in origins):
            raise web.HTTPForbidden(text=_FOREIGN)

    def _let_in(self, request: web.Request) -> web.Response:
        if not self._is_token(request.query[START]):
            raise web.HTTPForbidden(text=_NOT_LET_IN)
        answer = web.Response(status=303, headers={"Location": "/"})
        # Lax and not Strict: a start address opened from a mail must survive this redirect, and
        # what can type (the websocket) gets neither kind from another site.
        answer.set_cookie(
            self.cookie,
            self._token,
            httponly=True,
            samesite="Lax",
            secure=self.encrypted,
            path="/",
        )
        return answer

    def _is_token(self, said: str) -> bool:
        return hmac.compare_digest(said.encode("utf-8", "replace"), self._token.encode())

    async def _add_headers(self, request: web.Request, response: web.StreamResponse) -> None:
        """Let the page load only what this server has, in no frame, and tell nobody of it."""
        # The terminal writes style elements of its own, hence inline styles; scripts never are.
        response.headers["Content-Security-Policy"] = (
            "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; "
            "font-src 'self'; img-src 'self' data:; "
            f"connect-src 'self' {self._socket_of(request)}; "
            "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
        )
        response.headers["Referrer-Policy"] = "no-referrer"
        response.headers["X-Content-Type-Options"] = "nosniff"
        response.headers["Cross-Origin-Resource-Policy"] = "same-origin"
        response.headers["Cross-Origin-Opener-Policy"] = "same-origin"
        response.headers.setdefault("Cache-Control", "no-store")

    def _socket_of(self, request: web.Request) -> str:
        """Return the websocket's origin, which some browsers do not count as 'self'."""
        host = request.headers.get("Host", "")
        plain = host and all(letter.isalnum() or letter in ".:-[]" for letter in host)
        return self.socket_at(host) if plain else ""
