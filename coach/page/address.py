"""Where the page is: what was asked for, whether that is this machine alone, and which `Host` headers name it."""

from __future__ import annotations

import ipaddress
import secrets
import socket
from dataclasses import dataclass
from urllib.parse import urlsplit

from coach.errors import CoachError

HOST, PORT = "127.0.0.1", 8417
LETTERS = "abcdefghjkmnpqrstuvwxyz23456789"  # none that is taken for another when copied by hand
LENGTH = 16  # of the secret: about 79 bits


class PageError(CoachError):
    """The page can't be shown."""


@dataclass(frozen=True, slots=True)
class Address:
    """Where to listen. name: as asked for; host: its number; port: 0 for any that is free; fixed: whether the port was
    asked for, so that no other will do."""

    name: str
    host: str
    port: int
    fixed: bool = True

    @property
    def version(self) -> int:
        return ipaddress.ip_address(self.host).version

    @property
    def family(self) -> socket.AddressFamily:
        return socket.AF_INET6 if self.version == 6 else socket.AF_INET

    @property
    def here_alone(self) -> bool:
        """Only this machine reaches it."""
        return ipaddress.ip_address(self.host).is_loopback

    def names_us(self, header: str | None, port: int) -> bool:
        """Whether a `Host` header is an address of ours with this port. A name that somebody else can give a meaning is
        none; numbers can't be given another meaning."""
        host, asked = host_and_port(header or "")
        if host is None or (80 if asked is None else asked) != port:
            return False
        if host == self.name.lower() or host == "localhost" and self.here_alone:
            return True
        number = _number(host)
        if number is not None:
            return str(number) == self.host or not self.here_alone
        own = socket.gethostname().lower()
        return not self.here_alone and host in (own, f"{own.partition('.')[0]}.local")

    def shown(self, port: int, secret: str) -> str:
        """What to open in a browser."""
        host = self.host
        if ipaddress.ip_address(host).is_unspecified:
            host = _outward(self.family) or host
        host = f"[{host}]" if ":" in host else host
        return f"http://{host}:{port}/{secret}{'/' if secret else ''}"


def address_of(text: str | None) -> Address:
    """The address that `HOST:PORT`, `HOST` or `PORT` asks for; this machine alone for None. Raises PageError."""
    if text is None:
        return Address(HOST, HOST, PORT, fixed=False)
    number = _number(text[1:-1] if text.startswith("[") and text.endswith("]") else text)
    if text.isdecimal() and text.isascii():
        name, port = HOST, _port(text)
    elif number is not None:
        name, port = str(number), PORT
    else:
        name, port = host_and_port(text)
    if name is None or port is not None and port > 65535:
        raise PageError(f"{text} is no address for the page.", "An address looks like 127.0.0.1:8417 or 0.0.0.0:8417.")
    return Address(name, _resolved(name), PORT if port is None else port, fixed=port is not None)


def host_and_port(text: str) -> tuple[str | None, int | None]:
    """The host in lower case and the port of `HOST:PORT`; (None, None) where it is none."""
    try:
        parts = urlsplit(f"//{text}")
        host, port = parts.hostname, parts.port
    except ValueError:
        return None, None
    if not host or parts.netloc != text or "@" in text or text.endswith(":"):
        return None, None
    return host, port


def new_secret() -> str:
    """For the path of a page that other devices can reach."""
    return "".join(secrets.choice(LETTERS) for _ in range(LENGTH))


def _port(text: str) -> int:
    return int(text) if len(text) < 6 else 65536


def _number(host: str) -> ipaddress.IPv4Address | ipaddress.IPv6Address | None:
    try:
        return ipaddress.ip_address(host)
    except ValueError:
        return None


def _resolved(name: str) -> str:
    if name == "localhost":
        return HOST
    if (number := _number(name)) is not None:
        return str(number)
    try:
        return str(socket.getaddrinfo(name, None, type=socket.SOCK_STREAM)[0][4][0])
    except (OSError, UnicodeError):
        raise PageError(
            f"There is no address called {name}.", "An address looks like 127.0.0.1:8417 or 0.0.0.0:8417."
        ) from None


def _outward(family: socket.AddressFamily) -> str | None:
    """This machine's address in its network. Nothing is sent: a datagram socket only looks up its way."""
    there = (
        "2001:db8::1" if family is socket.AF_INET6 else "192.0.2.1"
    )  # addresses for documentation (RFC 3849, RFC 5737)
    with socket.socket(family, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect((there, 9))
            return str(probe.getsockname()[0])
        except OSError:
            return None
