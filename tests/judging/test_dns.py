"""DNS: silence on what dnspython writes, and a finding wherever dnspython cannot read."""

from __future__ import annotations

import random

import dns.exception
import dns.message
import dns.name
import dns.rdataclass
import dns.rdatatype
import dns.rrset
import pytest
from judged_frames import changed, judged

from framecheck.judging._dns import fault
from framecheck.judging._examples import DNS_ANSWER, DNS_QUERY, over_udp

# What speaks of octets that no reader can take apart.
UNREADABLE = {
    "dns-incomplete",
    "dns-label-reserved",
    "dns-name-too-long",
    "dns-pointer",
    "dns-counts-unfilled",
    "dns-address-length",
    "dns-record-data",
}
RECORDS = (
    "frost.orchard.example. 3600 IN A 192.0.2.77",
    "frost.orchard.example. 60 IN AAAA 2001:db8::77",
    "alarm.orchard.example. 300 IN CNAME frost.orchard.example.",
    "orchard.example. 300 IN NS ns1.orchard.example.",
    "orchard.example. 300 IN MX 10 mail.orchard.example.",
    'orchard.example. 300 IN TXT "late frost" "in the lower rows"',
    "orchard.example. 300 IN SOA ns1.orchard.example. host.orchard.example. 7 1 2 3 4",
    "_alarm._udp.orchard.example. 300 IN SRV 0 5 5001 frost.orchard.example.",
    "77.2.0.192.in-addr.arpa. 300 IN PTR frost.orchard.example.",
)


def message(seed: int) -> bytes:
    drawn = random.Random(seed)
    made = dns.message.make_query("frost.orchard.example.", "A", use_edns=drawn.choice((False, 0)))
    made.id = drawn.randrange(65536)
    if drawn.randrange(3):
        made.flags |= 0x8000
        for text in drawn.sample(RECORDS, drawn.randrange(1, 5)):
            name, ttl, _, kind, data = text.split(" ", 4)
            drawn.choice((made.answer, made.authority, made.additional)).append(
                dns.rrset.from_text(name, int(ttl), "IN", kind, data)
            )
    return made.to_wire()


@pytest.mark.parametrize("seed", range(60))
def test_what_another_library_writes_is_met_with_silence(seed):
    found = judged(over_udp(message(seed).hex(), 53, 49152))
    assert found.above_unusual == []


@pytest.mark.parametrize("seed", range(40))
def test_what_another_library_cannot_read_is_blamed(seed):
    """Octets changed and lost: wherever dnspython gives up, a rule that knows why speaks."""
    drawn = random.Random(seed)
    refused = 0
    for _ in range(40):
        octets = bytearray(message(drawn.randrange(60)))
        for _ in range(drawn.randrange(1, 4)):
            octets[drawn.randrange(len(octets))] = drawn.randrange(256)
        data = bytes(
            octets[: drawn.randrange(1, len(octets) + 1)] if drawn.randrange(2) else octets
        )
        try:
            dns.message.from_wire(data)
        except (dns.message.ShortHeader, dns.name.BadPointer, dns.name.BadLabelType):
            refused += 1
        except dns.exception.DNSException:
            continue  # what its data must hold beyond names is not judged here
        else:
            continue
        found = judged(over_udp(data.hex(), 53, 49152))
        assert UNREADABLE & set(found.above_unusual) or (data[2:3] and data[2] & 2)
    assert refused


def test_the_message_of_the_standard_has_no_fault():
    """RFC 1035 4.1.4: F.ISI.ARPA at 20, FOO and a pointer at 40, ARPA by pointer at 64, root 92."""
    data = bytearray(93)
    data[20:32] = bytes.fromhex("014603495349044152504100")
    data[40:46] = bytes.fromhex("03464f4fc014")
    data[64:66] = bytes.fromhex("c01a")
    for at in (20, 40, 64, 92):
        assert fault(bytes(data), 0, at, len(data)) is None


@pytest.mark.parametrize(
    ("digits", "kind"),
    [("c051", "pointer"), ("c027", "pointer"), ("c005", "pointer"), ("ffff", "pointer")],
)
def test_a_pointer_that_does_not_lead_back_is_pinned(digits, kind):
    """To the name itself, forward, into the header, past the end."""
    found = judged(changed(DNS_ANSWER, 81, digits))
    assert found.spans("dns-pointer") == [((81, 83),)]
    assert found.fate.step == "transport-checksum"


@pytest.mark.parametrize("first", [0x40, 0x7F, 0x80, 0xBF])
def test_a_label_that_begins_with_reserved_bits_is_pinned(first):
    found = judged(changed(DNS_QUERY, 68, f"{first:02x}"))
    assert found.spans("dns-label-reserved") == [((68, 69),)]


def test_pointers_to_pointers_end():
    """A chain through the whole message takes a bounded time and is no loop."""
    links = "".join(f"{0xC000 | 12 + 2 * i:04x}" for i in range(200))
    name = "00" + "00" + links
    found = judged(over_udp("123401000001000000000000" + name, 49152, 53))
    assert "dns-pointer" not in found.above_unusual
