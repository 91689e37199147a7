"""Posting to an address outside: no redirects, no private addresses, little patience.

The name is looked up once, every address it has is checked, and the connection goes to the one
that was checked: a name that answers differently the second time gains nothing.
"""

from __future__ import annotations

import ipaddress
import socket
import ssl
from collections.abc import Mapping
from dataclasses import dataclass
from http.client import HTTPConnection, HTTPException, HTTPResponse, HTTPSConnection
from typing import Final
from urllib.parse import urlsplit

from schemas.errors import NotNow

PATIENCE: Final = 15.0
"""For a connection, and for each part of the answer. [s]"""

READ: Final = 4096
"""So much of an answer is read. [bytes]"""


class NotAllowed(Exception):
    """The address is one that nothing may be posted to from here."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """What a receiver said."""

    status: int
    retry_after: float
    """Seconds it asks to be left alone; 0 for nothing said."""


def post(url: str, body: bytes, headers: Mapping[str, str], *, on_site: bool) -> Answered:
    """Post once.

    Args:
        url: Where to.
        body: JSON.
        headers: Besides the usual ones.
        on_site: Addresses of private networks are right.

    Raises:
        NotAllowed: It leads into a private network.
        NotNow: It does not answer, or not as HTTP has it.
    """
    parts = urlsplit(url)
    host = parts.hostname or ""
    port = parts.port or (443 if parts.scheme == "https" else 80)
    connection = _connection(parts.scheme, host, port, _address(host, port, on_site=on_site))
    path = parts.path or "/"
    try:
        connection.request(
            "POST",
            f"{path}?{parts.query}" if parts.query else path,
            body=body,
            headers={
                "Host": parts.netloc,
                "Content-Type": "application/json",
                "User-Agent": "dawnpack",
                **headers,
            },
        )
        answer = connection.getresponse()
        answer.read(READ)
        return Answered(status=answer.status, retry_after=_retry_after(answer))
    except (OSError, HTTPException) as no:
        msg = f"{host} does not answer: {no or type(no).__name__}"
        raise NotNow(msg) from no
    finally:
        connection.close()


def _address(host: str, port: int, *, on_site: bool) -> str:
    try:
        found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    except OSError as no:
        msg = f"{host} has no address: {no}"
        raise NotNow(msg) from no
    addresses = [str(entry[4][0]) for entry in found]
    if not on_site:
        for address in addresses:
            if not ipaddress.ip_address(address.partition("%")[0]).is_global:
                msg = f"{host} leads to {address}, inside a private network"
                raise NotAllowed(msg)
    return addresses[0]


def _connection(scheme: str, host: str, port: int, address: str) -> HTTPConnection:
    if scheme == "https":
        secure = HTTPSConnection(host, port, timeout=PATIENCE)
        plain = socket.create_connection
        context = ssl.create_default_context()

        def connect() -> None:
            try:
                raw = plain((address, port), PATIENCE)
                secure.sock = context.wrap_socket(raw, server_hostname=host)
            except OSError as no:
                msg = f"{host} cannot be reached: {no}"
                raise NotNow(msg) from no

        secure.connect = connect  # type: ignore[method-assign]  # to the address that was checked
        return secure
    return HTTPConnection(address, port, timeout=PATIENCE)


def _retry_after(answer: HTTPResponse) -> float:
    said = answer.getheader("Retry-After") or ""
    return float(said) if said.isdecimal() else 0.0
