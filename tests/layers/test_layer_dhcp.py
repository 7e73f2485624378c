"""DHCP against pyroute2's messages, both ways, and what RFC 2131 and 2132 say of odd ones."""

from __future__ import annotations

from typing import Any

import pytest
from pyroute2.dhcp.dhcp4msg import dhcp4msg
from pyroute2.dhcp.enums.dhcp import Option

from framecheck.core.layer import Layer, decode, encode
from framecheck.layers import build, decode_frame, kind, summary
from framecheck.layers.assigned.dhcp_message_types import MESSAGE_TYPES
from framecheck.layers.assigned.dhcp_options import OPTIONS

MAC = "00:00:5e:00:53:07"


def read(message: bytes) -> Layer:
    return decode(kind("dhcp"), message, 0, len(message) * 8)


def option(code: int, data: bytes) -> Layer:
    """A message with one option and its end."""
    return read(encode(kind("dhcp"), {"option": [(code, data), (255, b"")]}))


# For each form in which pyroute2 writes options: a value, and how people read it here.
FORMS: dict[str, tuple[Any, str]] = {
    "ip4addr": ("192.0.2.77", "192.0.2.77"),
    "ip4list": (["192.0.2.1", "192.0.2.2"], "192.0.2.1, 192.0.2.2"),
    "string": ("pump", '"pump"'),
    "bool": (True, "yes"),
    "array8": ([1, 3, 6], "subnet mask, router, domain name server"),
    "client_id": ({"type": 1, "key": MAC}, MAC),
    "message_type": (2, "DHCPOFFER"),
}
NUMBERS = {"uint8": (1, 1), "be16": (1500, 2), "be32": (3600, 4), "sbe32": (3600, 4)}
# Strings that RFC 2132 calls octets: no words, and RFC 2132 4.7's numbers.
OPAQUE = {43, 47}
THEIRS = [(int(code), form) for code, form in dhcp4msg.options if form != "none"]
NAMES = [f"{code}-{OPTIONS[code].name}" for code, _ in THEIRS]


@pytest.mark.parametrize(("code", "form"), THEIRS, ids=NAMES)
def test_what_pyroute2_writes_is_read_alike(code: int, form: str) -> None:
    value, words = FORMS[form] if form in FORMS else (NUMBERS[form][0], None)
    options = {"message_type": 2, Option(code).name.lower(): value}
    wire = dhcp4msg({"op": 2, "xid": 0x1234, "chaddr": MAC, "options": options}).encode().buf
    layer = read(bytes(wire))

    group = layer.group(code)
    assert group is not None
    assert group.value is not None
    assert group.name == OPTIONS[code].name
    if form in NUMBERS:
        assert group.value.value == value
        assert len(group.data) == NUMBERS[form][1]
    elif code in OPAQUE:
        assert group.value.value == value.encode()
    elif code == 36:  # a boolean in form, two names in RFC 2132 6.3
        assert group.value.reads == "IEEE 802.3 (RFC 1042)"
    else:
        assert group.value.reads == words
    assert layer["xid"].value == 0x1234
    assert layer["chaddr"].reads == MAC


def test_what_the_table_writes_pyroute2_reads() -> None:
    wire = encode(
        kind("dhcp"),
        {
            "op": 2,
            "xid": 0x3903F326,
            "secs": 4,
            "flags": 0x8000,
            "yiaddr": bytes((192, 0, 2, 77)),
            "siaddr": bytes((192, 0, 2, 1)),
            "chaddr": bytes.fromhex(MAC.replace(":", "")),
            "sname": b"orchard",
            "file": b"alarm.bin",
            "option": [
                (53, b"\x02"),
                (54, bytes((192, 0, 2, 1))),
                (51, (86400).to_bytes(4, "big")),
                (0, b""),
                (12, b"pump"),
                (255, b""),
            ],
        },
    )
    message = dhcp4msg(buf=wire).decode()

    assert message["op"] == 2
    assert message["xid"] == 0x3903F326
    assert message["secs"] == 4
    assert message["flags"] == 0x8000
    assert message["yiaddr"] == "192.0.2.77"
    assert message["siaddr"] == "192.0.2.1"
    assert message["chaddr"] == MAC
    assert message["sname"].rstrip("\0") == "orchard"
    assert message["file"].rstrip("\0") == "alarm.bin"
    assert message["options"] == {
        "message_type": 2,
        "server_id": "192.0.2.1",
        "lease_time": 86400,
        "host_name": "pump",
    }


def test_message_types_are_pyroute2s() -> None:
    from pyroute2.dhcp.enums.dhcp import MessageType

    assert {int(t): f"DHCP{t.name}" for t in MessageType}.items() <= MESSAGE_TYPES.items()


@pytest.mark.parametrize(
    ("code", "data", "words"),
    [
        (2, "00000e10", "3600 seconds (1 hour) east"),
        (2, "fffff1f0", "3600 seconds (1 hour) west"),
        (21, "c0000200ffffff00", "192.0.2.0/255.255.255.0"),
        (25, "004405dc", "68, 1500"),
        (33, "cb007105c0000201", "203.0.113.5 through 192.0.2.1"),
        (46, "08", "H-node"),
        (51, "ffffffff", "for ever"),
        (51, "00015f91", "90001 seconds (1 day 1 hour 1 second)"),
        (52, "03", "both hold options"),
        (61, "ff0102", "type 255, 0102"),
        (3, "c0000201c0", "192.0.2.1, and c0 left over"),
        (121, "18c00002c0000201", "192.0.2.0/24 through 192.0.2.1"),
        (121, "0020", "and 0020 left over"),
        (82, "01020304", "1: 0304"),
        (12, "1b5b324a0a", r'"\x1b[2J\x0a"'),
    ],
)
def test_values_read_as_rfc_2132_means_them(code: int, data: str, words: str) -> None:
    """RFC 2132 3.4, 4.3, 4.7, 5.8, 8.7, 9.2, 9.3, 9.14; RFC 2131 3.3 (all ones is infinity)."""
    group = option(code, bytes.fromhex(data)).group(code)

    assert group is not None
    assert group.value is not None
    assert group.value.reads == words


def test_no_option_raises_whatever_its_octets() -> None:
    for code in range(1, 255):
        for data in (b"", b"\0", b"\xff" * 3, bytes(range(40)), b"\xff" * 255):
            layer = option(code, data)
            assert all(f.reads is None or f.reads.isprintable() for f in layer.fields)


def test_a_number_of_the_wrong_size_stays_octets() -> None:
    group = option(53, b"\0\x02").group(53)

    assert group is not None
    assert group.value is not None
    assert (group.value.value, group.value.reads) == (b"\0\x02", None)


def test_pads_stand_together_and_octets_behind_the_end_are_padding() -> None:
    layer = read(encode(kind("dhcp"), {"option": bytes(5) + b"\x35\x01\x01\xff" + b"\0\0\x07"}))

    assert (layer.groups[0].code, layer.groups[0].fields[0].raw) == (0, bytes(5))
    assert layer["pad"].value == bytes(5)
    assert layer["padding"].value == b"\0\0\x07"


def test_an_option_that_claims_more_than_is_left_says_how_much_is_missing() -> None:
    layer = read(encode(kind("dhcp"), {"option": b"\x35\x01\x02\x4c\x4d\x4e\x4f\x50"}))
    group = layer.groups[-1]

    assert (group.code, group.missing) == (0x4C, 0x4D - 3)
    assert group.data == b"NOP"


@pytest.mark.parametrize(
    ("overload", "fields"), [(1, {"file"}), (2, {"sname"}), (3, {"sname", "file"})]
)
def test_overloaded_fields_hold_options(overload: int, fields: set[str]) -> None:
    """RFC 2132 9.3; what is not overloaded stays a string."""
    message = encode(
        kind("dhcp"),
        {
            "sname": b"\x0c\x04pump\xff",
            "file": b"\x0f\x07example\xff",
            "option": [(53, b"\x02"), (52, bytes((overload,))), (255, b"")],
        },
    )
    layer = read(message)

    assert {name for name in ("sname", "file") if layer.get(name) is None} == fields
    assert (layer.get("host_name") is not None) == ("sname" in fields)
    assert (layer.get("domain_name") is not None) == ("file" in fields)
    assert layer.group(53) is not None


SAYS = [
    (1, {}, [], f"DHCP looks for a server, for {MAC}"),
    (1, {}, [(50, "c000024d")], f"DHCP looks for a server, for {MAC}, would like 192.0.2.77"),
    (2, {"yiaddr": "c000024d"}, [], f"DHCP offers 192.0.2.77 to {MAC}"),
    (3, {}, [(50, "c000024d")], f"DHCP asks for 192.0.2.77, for {MAC}"),
    (3, {"ciaddr": "c000024d"}, [], f"DHCP asks for 192.0.2.77, for {MAC}"),
    (4, {}, [(50, "c000024d")], f"DHCP declines 192.0.2.77, for {MAC}"),
    (5, {"yiaddr": "c000024d"}, [], f"DHCP grants 192.0.2.77 to {MAC}"),
    (5, {}, [], f"DHCP answers {MAC} with settings"),
    (6, {}, [], f"DHCP refuses {MAC}"),
    (7, {"ciaddr": "c000024d"}, [], f"DHCP gives back 192.0.2.77, from {MAC}"),
    (8, {"ciaddr": "c000024d"}, [], "DHCP asks for settings, for 192.0.2.77"),
    (13, {}, [], f"DHCP message DHCPLEASEACTIVE, client {MAC}"),
    (99, {}, [], f"BOOTP request, client {MAC}"),
]


@pytest.mark.parametrize(("kind_", "values", "more", "says"), SAYS)
def test_a_message_says_what_it_does(
    kind_: int, values: dict[str, str], more: list[tuple[int, str]], says: str
) -> None:
    frame = build(
        [
            ("ethernet", {}),
            ("ipv4", {}),
            ("udp", {"source_port": 67, "destination_port": 68}),
            (
                "dhcp",
                {
                    "chaddr": bytes.fromhex(MAC.replace(":", "")),
                    **{name: bytes.fromhex(v) for name, v in values.items()},
                    "option": [(53, bytes((kind_,))), *((c, bytes.fromhex(d)) for c, d in more)],
                },
            ),
        ]
    )

    assert summary(decode_frame(frame), frame) == says
