"""What the words near a dump say: length, direction, time, and whether they speak against it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

MOST_CLAIMED = 1 << 20
"""A larger number is no length of a frame; it is left alone."""

_LENGTH = re.compile(
    r"\b(?:len(?:gth)?|size|bytes|octets|cnt|count)\b[\"']?\s*(?:is|of)?\s*[:=(\[]?\s*[\"']?"
    r"(0x[0-9a-f]+|\d+)\b"
    r"(?!\s*(?:\.\.|to\b)\s*\d)"
    r"|\b(\d+)\s*-?\s*(?:bytes?|octets?)\b(?!\s*[:=]\s*\d|\t\d)(?!\s*(?:from|free|left|used|available|of\b))"
    r"|\b(?:len(?:gth)?)\s*[:=]?\s*([0-9a-f]{4})\b",
    re.IGNORECASE,
)
_RANGE = re.compile(r"[(\[]\s*(\d{1,5})\s*(?:\.{2,3}|to)\s*(\d{1,5})\s*[)\]]")
"""From which number to which one a list counts."""
_RECEIVED = re.compile(
    r"(?<![a-z])(?:rx|recv(?:d|ed)?|receiv(?:e|ed|ing|es)|incoming|input|ingress|got|arrived)(?![a-z])",
    re.IGNORECASE,
)
_SENT = re.compile(
    r"(?<![a-z])(?:tx|xmit|sen[dt]|sending|sends|transmit(?:ted|ting)?|outgoing|output|egress)(?![a-z])",
    re.IGNORECASE,
)
_IN = re.compile(
    r"(?<![a-z0-9])(?:in|<-+|<=+)(?![a-z0-9=])(?!\s+(?:buffer|the|a)\b)", re.IGNORECASE
)
_OUT = re.compile(r"(?<![a-z0-9])(?:out|-+>|=+>)(?![a-z0-9=])(?!\s+of\b)", re.IGNORECASE)
_FRAME = re.compile(
    r"(?<![a-z])(?:packets?|frames?|pkts?|eth(?:ernet)?\d*|rx|tx|recv(?:ed|d)?|receiv\w*|sent|send"
    r"|sending|xmit|transmit\w*|skb|datagram|emac|gmac|mac data|lan\d*|net(?:if)?\d*"
    r"|arp|dhcp|udp|tcp|icmp|ping|reply|request|payload)(?![a-z])",
    re.IGNORECASE,
)
_OTHER = re.compile(
    r"(?<![a-z0-9])(?:stack|call trace|backtrace|registers?|regs?|code|eeprom|flash|otp|efuse|uuid"
    r"|md5\w*|sha-?\d*\w*|hash|digest|checksum of|key|keys|secret|iv|nonce|token"
    r"|signature|cert\w*|fingerprint|serial"
    r"|build|commit|version|memory map|memmap|iomem|pc|lr|sp|r\d{1,2}|xpsr|psr|cpsr"
    r"|sensor\w*|temp\w*|adc|accel\w*|gyro|calib\w*|lut|table|gamma|crc|edid|vbios|dtb|heap|malloc"
    r"|oops|panic|fault|exception|guid|neighbou?rs?|addr(?:ess)?es|ipv6|inet6)(?![a-z0-9])",
    re.IGNORECASE,
)
_STAMP = re.compile(
    r"\d{4}-\d\d-\d\d[ T]\d\d:\d\d:\d\d(?:[.,]\d+)?(?:Z|[+-]\d\d:?\d\d)?"
    r"|(?<=\[)\s*\d+\.\d{3,9}(?=\])"
    r"|(?<![0-9A-Fa-f]:)(?<!\d[A-Za-z]:)\b\d\d:\d\d:\d\d(?!:[0-9A-Fa-f])(?:[.,]\d{1,9}(?:,\d{3})?)?"
    r"|(?<=[A-Z] \()\d+(?=\))"
    r"|(?<!\w\[)(?<=\[)\s*\d{2,12}(?=\])"
)
_LETTER = re.compile(r"[A-Za-z<>=]")
_NUMBER_ALONE = re.compile(
    r"(?<!\b[DEIVW] )[(\[]\s*(\d{1,5})\s*[)\]]"
    r"|(?:packet|frame|pkt|rx|tx|recv|received|sent|dump|got)\b[\s:=#(\[,]{1,3}"
    r"(\d{1,5})\s*(?:[)\],:]|in\b|=\s*[{\[(]|$)"
    r"|^\s*(\d{2,5})\s*$",
    re.IGNORECASE,
)
_BRACKETED = re.compile(r"[(\[]\s*(\d{1,5})\s*[)\]]")
"""The first of these in a text without letters, where the third is all of it."""


class Facts(NamedTuple):
    """What the words near a dump say."""

    claimed: tuple[int, ...] = ()
    """Lengths that a line announces, the likeliest first."""
    maybe: tuple[int, ...] = ()
    """Numbers that may be lengths: they count only when they fit."""
    direction: str | None = None
    stamp: str | None = None
    frame: bool = False
    """A word of frames stands there."""
    other: bool = False
    """A word of something else (registers, keys, stacks) stands there."""


@lru_cache(maxsize=64)  # a line near a dump is looked at more than once
def facts(text: str) -> Facts:
    """What one line, or the prefix of one, says. Never raises."""
    text = text[:400]
    if not _LETTER.search(text):
        stamp = _STAMP.search(text)
        found = _BRACKETED.findall(text)
        bare = text.strip()
        if bare.isdecimal() and 2 <= len(bare) <= 5:
            found = [bare]
        numbers = tuple([n for n in map(int, found) if n])
        return Facts((), numbers, None, stamp[0].strip() if stamp else None)
    claimed: list[int] = []
    for m in _LENGTH.finditer(text):
        plain = m[1] or m[2]
        if plain:
            claimed.append(int(plain, 0) if plain[:2] in ("0x", "0X") else int(plain))
        if m[3] or (plain and len(plain) == 4 and plain[0] == "0"):
            claimed.append(int(m[3] or plain, 16))
    maybe = [int(m[m.lastindex or 0]) for m in _NUMBER_ALONE.finditer(text)]
    if ".." in text or "to" in text:
        maybe += [int(m[2]) - int(m[1]) + 1 for m in _RANGE.finditer(text)]
    received, sent = _RECEIVED.search(text), _SENT.search(text)
    if not received and not sent:
        received, sent = _IN.search(text), _OUT.search(text)
    direction = None
    if received and not sent:
        direction = "received"
    elif sent and not received:
        direction = "sent"
    stamp = _STAMP.search(text)
    return Facts(
        tuple([n for n in claimed if 0 < n <= MOST_CLAIMED]),
        tuple([n for n in maybe if 0 < n <= MOST_CLAIMED]),
        direction,
        stamp[0].strip() if stamp else None,
        bool(_FRAME.search(text)),
        bool(_OTHER.search(text)),
    )


def joined(near: Facts, far: Facts) -> Facts:
    """Two lines' facts as one; the nearer one's word counts first, its frame words alone."""
    return Facts(
        near.claimed or far.claimed,
        near.maybe + far.maybe,
        near.direction or far.direction,
        near.stamp or far.stamp,
        near.frame,
        near.other or far.other,
    )


def near(lead: str, lines: Sequence[str], octets: int = 0, done: Sequence[int] = ()) -> Facts:
    """What the lines in front say, and the prefix of a first row of so many octets.

    ``done``: lengths of dumps in front of these lines that no line announced; one that says
    such a length tells how long that dump was.
    """
    found = facts(lead) if lead else Facts()
    own: tuple[int, ...] = ()
    if octets in found.claimed:
        # It may be the row's own length: one that a line above announces goes before it.
        own = found.claimed
        found = found._replace(claimed=())
    for distance, text in enumerate(reversed(lines)):
        far = facts(text)
        if not set(done).isdisjoint(far.claimed):
            far = far._replace(claimed=())
        if distance == 0 and far.frame and not found.other:
            found = found._replace(frame=True)
        found = joined(found, far)
    return found._replace(claimed=found.claimed + own) if own else found
