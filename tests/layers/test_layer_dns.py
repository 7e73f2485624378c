"""DNS against RFC 1035's own example and against dnspython, both ways; and messages that lie."""

from __future__ import annotations

import dns.edns
import dns.flags
import dns.message
import dns.name
import dns.rcode
import dns.rdatatype
import dns.rrset
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from layer_frames import recorded

from framecheck.core.layer import Layer, decode, encode
from framecheck.layers import decode_frame, kind
from framecheck.layers._names import labels, reads


def read(message: bytes) -> Layer:
    return decode(kind("dns"), message, 0, len(message) * 8)


def rfc_1035_message() -> bytes:
    """RFC 1035 4.1.4: names at octets 20, 40, 64 and 92 of a message."""
    message = bytearray(93)
    for at, name in (
        (20, "0146034953490441525041 00"),
        (40, "03464F4FC014"),
        (64, "C01A"),
        (92, "00"),
    ):
        octets = bytes.fromhex(name)
        message[at : at + len(octets)] = octets
    return bytes(message)


@pytest.mark.parametrize(
    ("at", "name"),
    [(20, "F.ISI.ARPA"), (40, "FOO.F.ISI.ARPA"), (64, "ARPA"), (92, ".")],
)
def test_the_names_of_rfc_1035(at: int, name: str) -> None:
    assert reads(rfc_1035_message(), 0, at, 93) == name


LABEL = st.binary(min_size=1, max_size=20)
NAME = st.lists(LABEL, max_size=6).map(lambda parts: dns.name.Name([*parts, b""]))
DATA = st.one_of(
    st.tuples(st.just("A"), st.just("192.0.2.9")),
    st.tuples(st.just("AAAA"), st.sampled_from(["2001:db8::9", "fe80::1", "2001:db8:0:1::"])),
    st.tuples(st.sampled_from(["NS", "CNAME", "PTR", "DNAME"]), NAME.map(str)),
    st.tuples(st.just("MX"), NAME.map(lambda n: f"10 {n}")),
    st.tuples(st.just("SRV"), NAME.map(lambda n: f"1 2 123 {n}")),
    st.tuples(st.just("SOA"), st.tuples(NAME, NAME).map(lambda n: f"{n[0]} {n[1]} 1 2 3 4 5")),
    st.tuples(st.just("TXT"), st.just('"frost" "alarm"')),
    st.tuples(st.just("HINFO"), st.just('"board" "none"')),
)
RECORD = st.tuples(NAME, st.integers(0, 2**31 - 1), DATA)
RECORDS = st.lists(RECORD, max_size=4, unique_by=lambda r: (r[0].canonicalize(), r[2][0]))


@st.composite
def messages(draw: st.DrawFn) -> dns.message.Message:
    message = dns.message.make_query(draw(NAME), draw(st.sampled_from(["A", "PTR", "MX", "TXT"])))
    message.id = draw(st.integers(0, 65535))
    message.flags = draw(st.integers(0, 0xFFFF)) & ~0x7840  # opcode query; the reserved bit zero
    message.flags |= dns.flags.QR
    for section in (message.answer, message.authority):
        for name, ttl, (kind_, text) in draw(RECORDS):
            section.append(dns.rrset.from_text(name, ttl, "IN", kind_, text))
    return message


def _their_name(name: dns.name.Name) -> list[bytes]:
    # It points to a name that is spelled alike but for case (RFC 1035 2.3.3, 4.1.4).
    return [bytes(label).lower() for label in name.labels if label]


def _our_name(message: bytes, layer: Layer, field_start: int) -> list[bytes]:
    found, whole = labels(message, layer.start // 8, field_start // 8, len(message))
    assert whole
    return [label.lower() for label in found]


@settings(max_examples=150, deadline=None)
@given(messages())
def test_what_dnspython_writes_is_read_alike(message: dns.message.Message) -> None:
    wire = message.to_wire(max_size=65535)
    layer = read(wire)

    assert layer["id"].value == message.id
    flags = 0
    for name, width in (("qr", 1), ("opcode", 4), ("aa", 1), ("tc", 1), ("rd", 1), ("ra", 1)):
        flags = flags << width | layer[name].number
    for name, width in (("z", 1), ("ad", 1), ("cd", 1), ("rcode", 4)):
        flags = flags << width | layer[name].number
    assert flags == message.flags
    assert layer.get("unparsed") is None
    (question,) = (g for g in layer.groups if g.name == "question")
    assert _our_name(wire, layer, question.start) == _their_name(message.question[0].name)
    assert question.code == message.question[0].rdtype
    for section, theirs in (("answer", message.answer), ("authority", message.authority)):
        ours = [g for g in layer.groups if g.name == section]
        assert [g.code for g in ours] == [r.rdtype for r in theirs]
        for group, rrset in zip(ours, theirs, strict=True):
            assert _our_name(wire, layer, group.start) == _their_name(rrset.name)
            ttl = group.get("ttl")
            assert ttl is not None
            assert ttl.value == rrset.ttl
            _same_data(wire, layer, group.fields[5:], rrset[0])


def _same_data(wire: bytes, layer: Layer, fields: tuple, rdata: object) -> None:  # type: ignore[type-arg]
    names = {"domain_name": "target", "exchange": "exchange", "target": "target"}
    for f in fields:
        if f.name == "address":
            assert f.reads == rdata.address  # type: ignore[attr-defined]
        elif f.name in (*names, "mname", "rname"):
            theirs = getattr(rdata, names.get(f.name, f.name))
            assert _our_name(wire, layer, f.start) == _their_name(theirs)
        elif f.name == "txt_data":
            assert f.reads == " ".join(f'"{s.decode()}"' for s in rdata.strings)  # type: ignore[attr-defined]
        elif f.name == "rdata":
            assert f.value == rdata.to_wire()  # type: ignore[attr-defined]
        else:
            assert f.value == getattr(rdata, f.name)


@settings(max_examples=100, deadline=None)
@given(NAME.filter(lambda n: all(c in b"abcdefghijklmnop" for part in n.labels for c in part)))
def test_what_the_table_writes_dnspython_reads(name: dns.name.Name) -> None:
    text = name.to_text(omit_final_dot=True)
    wire = encode(
        kind("dns"),
        {
            "id": 7,
            "qr": 1,
            "rd": 1,
            "qdcount": 1,
            "ancount": 1,
            "records": [(text, 1, 1), (text, 1, 1, 60, bytes((192, 0, 2, 9)))],
        },
    )
    message = dns.message.from_wire(wire)

    assert message.id == 7
    assert message.question[0].name == name
    assert message.answer[0].name == name
    assert message.answer[0][0].address == "192.0.2.9"
    assert message.answer[0].ttl == 60


@settings(max_examples=100, deadline=None)
@given(DATA)
def test_data_of_every_type_are_written_and_read_by_dnspython(data: tuple[str, str]) -> None:
    rrset = dns.rrset.from_text("pump.example.", 60, "IN", *data)
    record = ("pump.example", rrset.rdtype, 1, 60, rrset[0].to_wire())
    wire = encode(kind("dns"), {"qr": 1, "ancount": 1, "records": [record]})

    assert dns.message.from_wire(wire).answer == [rrset]
    _same_data(wire, read(wire), read(wire).groups[0].fields[5:], rrset[0])


OPTION = st.builds(dns.edns.GenericOption, st.integers(65001, 65534), st.binary(max_size=30))


@settings(max_examples=100, deadline=None)
@given(
    st.lists(OPTION, max_size=4),
    st.integers(512, 65535),
    st.integers(0, 255),
    st.booleans(),
    st.integers(0, 23),
)
def test_the_pseudo_record_opt_is_dnspythons(
    given_: list[dns.edns.GenericOption], size: int, version: int, secure: bool, rcode: int
) -> None:
    message = dns.message.make_query("pump.example", "A")
    flags = version << 16 | (dns.flags.DO if secure else 0)
    message.use_edns(version, flags, size, options=given_)
    message.flags |= dns.flags.QR
    message.set_rcode(dns.rcode.Rcode(rcode))
    (group,) = (g for g in read(message.to_wire()).groups if g.name == "additional")

    told = [f.value for f in group.fields[2:4]]
    assert told == [message.payload, message.ednsflags]
    said = group.fields[3].reads
    assert said is not None
    assert said.startswith(f"extended response code {rcode >> 4}, version {version}")
    assert said.endswith("DNSSEC is understood") == secure
    found = [f for f in group.fields[5:] if f.name != "option_length"]
    values = [v for o in given_ for v in (o.otype, o.data) if v != b""]
    assert [f.value for f in found] == values


def test_options_that_do_not_fit_the_pseudo_record_stay_octets() -> None:
    message = bytes(10) + b"\0\1" + bytes.fromhex("00 0029 04d0 00000000 0006 000a 0009 0102")

    assert read(message)["rdata"].value == bytes.fromhex("000a00090102")


def test_names_of_recorded_messages_are_dnspythons() -> None:
    seen = 0
    for frame in recorded():
        layer = next((x for x in decode_frame(frame) if x.kind == "dns"), None)
        if layer is None:
            continue
        wire = frame[layer.start // 8 : layer.stop // 8]
        message = dns.message.from_wire(wire)
        question = next(g for g in layer.groups if g.name == "question")
        assert question.fields[0].reads == message.question[0].name.to_text(omit_final_dot=True)
        assert len([g for g in layer.groups if g.name == "answer"]) == sum(
            len(rrset) for rrset in message.answer
        )
        seen += 1
    assert seen > 20


HEADER = {"id": 1, "qdcount": 1}


def lying(records: bytes, **counts: int) -> Layer:
    return read(encode(kind("dns"), {**HEADER, **counts, "records": records}))


PUMP = b"\x04pump\x07example\x00"
TYPE_AND_CLASS = b"\x00\x01\x00\x01"


def test_a_count_that_is_too_large_leaves_what_is_there() -> None:
    layer = lying(PUMP + TYPE_AND_CLASS, qdcount=9, ancount=65535)

    assert [g.name for g in layer.groups] == ["question"]
    assert layer.get("unparsed") is None


def test_octets_behind_the_counted_records_are_not_parsed() -> None:
    layer = lying(PUMP + TYPE_AND_CLASS + b"\xde\xad")

    assert layer["unparsed"].value == b"\xde\xad"


@pytest.mark.parametrize(
    "name",
    [b"\x05pump", b"\x40pump\x00", b"\x80", b"\xc0", b"\x3f" + b"a" * 62, b"\x01a" * 128 + b"\x00"],
    ids=["label past the end", "bits 01", "bits 10", "half a pointer", "no end", "too long"],
)
def test_a_name_that_cannot_be_is_not_parsed(name: bytes) -> None:
    layer = lying(name)

    assert layer["unparsed"].value == name
    assert layer.groups == ()


@pytest.mark.parametrize("pointer", [b"\xc0\x0c", b"\xc0\x0e", b"\xff\xff"])
def test_a_pointer_that_does_not_lead_back_is_a_name_that_leads_nowhere(pointer: bytes) -> None:
    """RFC 1035 4.1.4: a pointer leads to a prior occurrence; 12 is the name's own first octet."""
    layer = lying(pointer + TYPE_AND_CLASS)

    assert layer["qname"].reads == "… (its pointer leads nowhere)"
    assert layer["qtype"].value == 1


def test_pointers_that_lead_to_each_other_end() -> None:
    records = PUMP + TYPE_AND_CLASS + b"\x01a\xc0\x1f" + bytes(4) + b"\x01b\xc0\x1e" + bytes(4)
    layer = lying(records, qdcount=3)

    assert layer.groups[2].fields[0].reads is not None
    assert "leads nowhere" in layer.groups[2].fields[0].reads


def test_data_that_do_not_fit_their_type_stay_octets() -> None:
    record = PUMP + TYPE_AND_CLASS + bytes(4) + b"\x00\x03abc"
    layer = lying(record, qdcount=0, ancount=1)

    assert layer["rdata"].value == b"abc"
    assert layer.get("address") is None


def test_a_record_whose_data_are_cut_says_how_much_is_missing() -> None:
    record = PUMP + TYPE_AND_CLASS + bytes(4) + b"\x00\x04\xc0\x00"
    (group,) = lying(record, qdcount=0, ancount=1).groups

    assert group.missing == 2
    assert group.fields[-1][3:5] == (b"\xc0\x00", 32)


def test_a_name_cannot_act_on_the_terminal() -> None:
    layer = lying(b"\x05\x1b[2J.\x00" + TYPE_AND_CLASS)

    assert layer["qname"].reads == "\\027[2J\\."


def test_dns_is_not_entered_in_a_quoted_datagram() -> None:
    from framecheck.layers import build

    quoted = build(
        [("ipv4", {}), ("udp", {"source_port": 5053, "destination_port": 53})], bytes(20)
    )
    frame = build([("ethernet", {}), ("ipv4", {}), ("icmp", {"type": 3, "code": 3})], quoted)

    assert [x.kind for x in decode_frame(frame)][-3:] == ["ipv4", "udp", "payload"]


@pytest.mark.parametrize("name", ["a" * 64, ".".join(["pump"] * 60)])
def test_a_name_that_rfc_1035_does_not_allow_cannot_be_written(name: str) -> None:
    """RFC 1035 2.3.4: labels of 63 octets, names of 255."""
    with pytest.raises(ValueError, match="labels of 1 to 63 octets"):
        encode(kind("dns"), {"records": [(name, 1, 1)]})
