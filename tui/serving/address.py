"""Where the page is, who can reach it there, and which names of this machine are answered to."""

import socket
from ipaddress import ip_address
from typing import Final
from urllib.parse import urlsplit

#: An address kept for documents (RFC 5737): asked which way it would lie, nothing is sent to it.
_FAR_AWAY: Final = ("203.0.113.1", 9)
_HERE: Final = frozenset({"localhost", "127.0.0.1", "::1"})
#: Ports that a browser leaves out.
_USUAL: Final = {"http": 80, "https": 443}


def only_here(host: str) -> bool:
    """Return whether only this machine can reach a server that listens at `host`."""
    return host in _HERE or (_is_number(host) and ip_address(host).is_loopback)


def who_reaches(host: str, *, encrypted: bool = False) -> str:
    """Say in one sentence who can reach the page, "" where only this machine can."""
    if only_here(host):
        return ""
    how = "encrypted" if encrypted else "unencrypted (--certificate encrypts)"
    return (
        "Whoever is on the same network and has this address can read and write the whole book, "
        f"children's names with it, until you stop it; it travels {how} inside that network "
        "and goes nowhere else."
    )


def origin(host: str, port: int, scheme: str = "http") -> str:
    """Return scheme, host and port of the page as a browser would open it."""
    host = _outward() if _everywhere(host) else host
    name = f"[{host}]" if ":" in host else host
    return f"{scheme}://{name}" + ("" if port == _USUAL[scheme] else f":{port}")


def answers_to(named: str, host: str, port: int, scheme: str = "http") -> bool:
    """Return whether a request's Host header names this server.

    A page elsewhere can have a name of its own point at this machine, but no number: where the
    server listens at every address, numbers and this machine's own names are answered to.

    Parameters
    ----------
    named : str
        The header.
    host, port : str, int
        Where the server listens.
    scheme : {"http", "https"}
    """
    try:
        asked = urlsplit(f"//{named}")
        name, at = asked.hostname or "", asked.port or _USUAL[scheme]
    except ValueError:
        return False
    if at != port or asked.netloc != named or asked.username is not None:
        return False
    if name == host.lower():
        return True
    if only_here(host):
        return name in _HERE
    own = socket.gethostname().lower()
    return _everywhere(host) and (_is_number(name) or name in {*_HERE, own, f"{own}.local"})


def _everywhere(host: str) -> bool:
    return _is_number(host) and ip_address(host).is_unspecified


def _is_number(name: str) -> bool:
    try:
        ip_address(name)
    except ValueError:
        return False
    return True


def _outward() -> str:
    """Return this machine's number in its network, else its name."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as way:
        try:
            way.connect(_FAR_AWAY)
            return str(way.getsockname()[0])
        except OSError:
            return socket.gethostname()
