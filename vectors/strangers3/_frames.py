"""The frames that the logs show: recorded ones, and a few made from layers."""

from __future__ import annotations

from functools import cache
from ipaddress import ip_address
from pathlib import Path

import dpkt

from framecheck.layers import build

_TRAFFIC = Path(__file__).parents[1] / "traffic"
_SERVER = bytes.fromhex("00005e005301")
_ALARM = bytes.fromhex("00005e005307")


@cache
def _recording(name: str) -> tuple[bytes, ...]:
    """All frames of a file of recorded traffic."""
    reader = dpkt.pcapng.Reader if name.endswith("ng") else dpkt.pcap.Reader
    with (_TRAFFIC / name).open("rb") as file:
        return tuple(octets for _, octets in reader(file))


def plain(number: int) -> bytes:
    """Frame ``number`` of the untagged traffic with true sums."""
    return _recording("offload-off.pcap")[number]


def rare(number: int) -> bytes:
    """Frame ``number`` of the rare scenes."""
    return _recording("rare.pcap")[number]


def tagged(number: int) -> bytes:
    """Frame ``number`` of the tagged traffic."""
    return _recording("tagged.pcapng")[number]


def lossy(number: int) -> bytes:
    """Frame ``number`` of the tagged traffic with losses."""
    return _recording("losses.pcapng")[number]


def six(number: int) -> bytes:
    """Frame ``number`` of the IPv6 traffic."""
    return _recording("ipv6.pcap")[number]


def _address(text: str) -> bytes:
    return ip_address(text).packed


def arp_question() -> bytes:
    """The alarm asks for the server: 42 octets, before an adapter fills them up."""
    values = {
        "operation": 1,
        "sender_hardware_address": _ALARM,
        "sender_protocol_address": _address("192.0.2.77"),
        "target_protocol_address": _address("192.0.2.1"),
    }
    return build([("ethernet", {"destination": b"\xff" * 6, "source": _ALARM}), ("arp", values)])


def datagram(text: bytes, identification: int, tag: int | None = None) -> bytes:
    """A UDP datagram of the alarm to the server of the valley, with a tag where one is named."""
    layers = [
        ("ethernet", {"destination": _SERVER, "source": _ALARM}),
        ("vlan", {"priority_code_point": 5, "vlan_identifier": tag}),
        (
            "ipv4",
            {
                "identification": identification,
                "time_to_live": 64,
                "source_address": _address("192.0.2.77"),
                "destination_address": _address("198.51.100.20"),
            },
        ),
        ("udp", {"source_port": 49231, "destination_port": 5151}),
    ]
    if tag is None:
        del layers[1]
    return build(layers, text)


def six_datagram(text: bytes) -> bytes:
    """A UDP datagram over IPv6."""
    ends = {
        "source_address": _address("2001:db8::77"),
        "destination_address": _address("2001:db8:0:20::1"),
    }
    return build(
        [
            ("ethernet", {"destination": _SERVER, "source": _ALARM}),
            ("ipv6", {"hop_limit": 64, **ends}),
            ("udp", {"source_port": 49231, "destination_port": 5151}),
        ],
        text,
    )


def neighbour() -> bytes:
    """An LLDP frame by which the alarm says its name."""
    units = [
        (1, b"\x04" + _ALARM),
        (2, b"\x07emac0"),
        (3, (120).to_bytes(2, "big")),
        (4, b"trunk of row 7"),
        (5, b"frost-alarm-7"),
        (6, b"orchard frost alarm, two fans, one sprinkler"),
        (0, b""),
    ]
    group = bytes.fromhex("0180c200000e")
    return build([("ethernet", {"destination": group, "source": _ALARM}), ("lldp", {"tlv": units})])
