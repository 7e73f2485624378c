"""The demo's log: a frost alarm in an orchard whose DHCP answers are ignored.

Made here from the tables of the layers, with documentation addresses (RFC 5737, RFC 7042). The
board copies short frames by hand; longer ones come by transfers of 64 octets, and what is left
over behind the last whole one never reaches the buffer, which the driver had filled with letters.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import count

NAME = "orchard.log"
FILL = "letters"
BOARD = bytes.fromhex("00005e005307")
SERVER = bytes.fromhex("00005e005301")
OFFERED = bytes((192, 0, 2, 77))
GATEWAY = bytes((192, 0, 2, 1))
BURST = 64
EVERYONE = b"\xff" * 6


def log() -> str:
    """The whole log, as the console printed it."""
    return "\n".join(_lines()) + "\n"


def received(sent: bytes) -> bytes:
    """What the board finds in its buffer of a frame that was sent to it."""
    if len(sent) <= BURST:
        return sent
    written = len(sent) - len(sent) % BURST
    return sent[:written] + bytes(0x41 + i % 26 for i in range(written, len(sent)))


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


def offer(transaction: int) -> bytes:
    """The server's DHCP offer (RFC 2131 table 3), 328 octets."""
    from framecheck.layers import build

    day = (86400).to_bytes(4, "big")
    options = [
        (53, b"\x02"),
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


def _lines() -> Iterator[str]:
    clock = count(407, 13)

    def said(text: str) -> str:
        return f"[{next(clock) / 1000:9.3f}] {text}"

    def dump(frame: bytes) -> Iterator[str]:
        yield said(f"net: received {len(frame)} octets")
        for at in range(0, len(frame), 16):
            yield said(f"net: {at:04x}: {frame[at : at + 16].hex(' ')}")

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
