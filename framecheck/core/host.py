"""``--host mac=…,ip=…,port=…``: who the board is, as far as the user says it."""

from __future__ import annotations

from typing import Any

from framecheck.core.finding import Host
from framecheck.core.problem import Problem
from framecheck.core.quote import quote


def host(text: str | None) -> Host:
    """The host that the option describes; what it leaves out is None.

    Raises Problem for a key that does not exist, comes twice, or whose value does not read.
    """
    given: dict[str, Any] = {}
    for part in (text or "").split(",") if text is not None else ():
        key, _, value = part.partition("=")
        key = key.strip()
        if key not in _READ:
            raise Problem(f"--host: {quote(part)!s} is none of mac=…, ip=…, port=…")
        if key in given:
            raise Problem(f"--host: {key} is given twice")
        given[key] = _READ[key](value.strip())
    return Host(**given)


def _mac(text: str) -> bytes:
    digits = text.replace(":", "").replace("-", "").replace(".", "")
    try:
        octets = bytes.fromhex(digits)
    except ValueError:
        octets = b""
    if len(octets) != 6 or len(digits) != 12:
        raise Problem(f"--host: mac={quote(text)} is not six octets, as in 00:00:5e:00:53:07")
    return octets


def _ip(text: str) -> bytes:
    if ":" in text:
        return _ipv6(text)
    parts = text.split(".")
    if len(parts) != 4 or not all(_small(p, 255) for p in parts):
        raise Problem(f"--host: ip={quote(text)} is not an IPv4 address, as in 192.0.2.77")
    return bytes(int(p) for p in parts)


def _ipv6(text: str) -> bytes:
    import ipaddress

    try:
        return ipaddress.IPv6Address(text.partition("%")[0]).packed
    except ValueError:
        example = "2001:db8::77"
        raise Problem(f"--host: ip={quote(text)} is not an IPv6 address, as in {example}") from None


def _port(text: str) -> int:
    if not _small(text, 65535):
        raise Problem(f"--host: port={quote(text)} is not a port from 0 to 65535")
    return int(text)


def _small(text: str, most: int) -> bool:
    return text.isascii() and text.isdigit() and len(text) <= 5 and int(text) <= most


_READ = {"mac": _mac, "ip": _ip, "port": _port}
