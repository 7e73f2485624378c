"""The demo's log: a frost alarm in an orchard whose DHCP answers are ignored.

Made here from the tables of the layers, with documentation addresses (RFC 5737, RFC 7042). What
comes from the adapter, FCS counted, comes in whole transfers of 64 octets; what is left over
behind the last of them never reaches the buffer, which the driver had filled with letters.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import count

NAME = "orchard.log"
FILL = "letters"
LETTERS = bytes(range(0x41, 0x5B))
BOARD = bytes.fromhex("00005e005307")
SERVER = bytes.fromhex("00005e005301")
OFFERED = bytes((192, 0, 2, 77))
GATEWAY = bytes((192, 0, 2, 1))
BURST = 64
FCS = 4
EVERYONE = b"\xff" * 6


def log() -> str:
    """The whole log, as the console printed it."""
    return "\n".join(_lines()) + "\n"


def received(sent: bytes, pattern: bytes = LETTERS) -> bytes:
    """What the board finds in its buffer of a frame that was sent to it."""
    counted = len(sent) + FCS
    written = counted - counted % BURST
    left = range(min(written, len(sent)), len(sent))
    return sent[:written] + bytes(pattern[i % len(pattern)] for i in left)


def asks() -> bytes:
    """The gateway's ARP request for the address that the board is to have."""
    from framecheck.layers import build

    arp = {
        "hardware_type": 1,
        "protocol_type": 0x0800,
        "hardware_length": 6,
        "protocol_length": 4,
        "operation": 1,
        "sender_hardware_address": SERVER,
        "sender_protocol_address": GATEWAY,
        "target_hardware_address": bytes(6),
        "target_protocol_address": OFFERED,
    }
    ethernet = {"destination": EVERYONE, "source": SERVER, "type": 0x0806}
    return build([("ethernet", ethernet), ("arp", arp)], pad=60)


def offer(transaction: int, message: int = 2) -> bytes:
    """The server's DHCP offer, or with 5 its acknowledgement (RFC 2131 table 3), 328 octets."""
    from framecheck.layers import build

    day = (86400).to_bytes(4, "big")
    options = [
        (53, bytes((message,))),
        (54, GATEWAY),
        (51, day),
        (58, (43200).to_bytes(4, "big")),
        (59, (75600).to_bytes(4, "big")),
        (1, bytes((255, 255, 255, 0))),
        (3, GATEWAY),
        (6, GATEWAY),
        (255, b""),
    ]
    dhcp = {
        "op": 2,
        "htype": 1,
        "hlen": 6,
        "xid": transaction,
        "yiaddr": OFFERED,
        "chaddr": BOARD + bytes(10),
        "option": options,
    }
    return build(
        [
            ("ethernet", {"destination": BOARD, "source": SERVER, "type": 0x0800}),
            (
                "ipv4",
                {
                    "identification": transaction & 0xFF,
                    "time_to_live": 64,
                    "protocol": 17,
                    "source_address": GATEWAY,
                    "destination_address": OFFERED,
                },
            ),
            ("udp", {"source_port": 67, "destination_port": 68}),
            ("dhcp", dhcp),
        ]
    )


def sent() -> list[bytes]:
    """What the other side put on the wire while the log was taken."""
    return [asks(), offer(0x5EED0001), offer(0x5EED0002), asks()]


def mended() -> str:
    """The console once the driver rounds its transfers up: every answer comes whole."""
    clock = count(412, 17)
    lines = ["frost: orchard controller, 14 sensors on the bus"]
    for frame, says in (
        (asks(), "net: an ARP request"),
        (offer(0x5EED0003), "dhcp: an offer, asking for it"),
        (offer(0x5EED0003, 5), "dhcp: bound to 192.0.2.77"),
        (asks(), "net: an ARP request, answered"),
    ):
        lines += [f"net: received {len(frame)} octets", *_rows(frame), says]
    lines.append("frost: row 3 at 1.6 C, the house knows")
    return "".join(f"[{next(clock) / 1000:9.3f}] {line}\n" for line in lines)


def probed(frames: Iterable[bytes], pattern: bytes) -> str:
    """The console while probes come in, the buffer filled with ``pattern`` before each."""
    lines = ["net: probing, the buffer is filled before each transfer"]
    for frame in frames:
        lines += [f"net: received {len(frame)} octets", *_rows(received(frame, pattern))]
    clock = count(905, 11)
    return "".join(f"[{next(clock) / 1000:9.3f}] {line}\n" for line in lines)


def _rows(frame: bytes) -> Iterator[str]:
    for at in range(0, len(frame), 16):
        yield f"net: {at:04x}: {frame[at : at + 16].hex(' ')}"


def _lines() -> Iterator[str]:
    clock = count(407, 13)

    def said(text: str) -> str:
        return f"[{next(clock) / 1000:9.3f}] {text}"

    def dump(frame: bytes) -> Iterator[str]:
        yield said(f"net: received {len(frame)} octets")
        yield from map(said, _rows(frame))

    yield said("frost: orchard controller, 14 sensors on the bus")
    yield said("frost: row 3 at 1.8 C, row 4 at 2.1 C, alarm below 0.5 C")
    yield said("net: link is up, 10 Mbit/s, receive buffer filled with letters")
    yield from dump(asks())
    for attempt in (1, 2):
        yield said(f"dhcp: discover sent, attempt {attempt}")
        yield from dump(received(offer(0x5EED0000 + attempt)))
        yield said("dhcp: no answer")
        yield said(f"frost: row 3 at {1.8 - attempt / 5:.1f} C, nobody to tell")
    yield from dump(asks())
    yield said("dhcp: giving up, next try in 60 s")
