"""Octets that are equal in a request and in its answer, on recorded pairs and on damaged answers.

Which answers repeat what: RFC 826 (Packet Reception), RFC 792 and RFC 4443 4.2 (echo), RFC 2131
table 3, RFC 5452 9.1. The pairs are recordings of real stacks.
"""

from __future__ import annotations

from functools import cache
from itertools import pairwise
from pathlib import Path

import dpkt
import pytest

from framecheck.core.span import each
from framecheck.core.view import View
from framecheck.judging import Past, answered, judge
from framecheck.judging._echo import REPLY_IPV6
from framecheck.judging._examples import ARP, ARP_REPLY, ECHO_IPV6, edited
from framecheck.layers import decode_frame

TRAFFIC = Path(__file__).parents[2] / "vectors/traffic"


def seen(octets: bytes, past: Past) -> View:
    """A frame judged after those of a past, not yet part of it."""
    view = View(octets, decode_frame(octets), past=past.so_far)
    judge(view)
    return view


@cache
def pairs() -> dict[str, list[tuple[bytes, bytes, bytes]]]:
    """By layer: requests, answers, and which octets of the answer are repeated (as 1)."""
    found: dict[str, list[tuple[bytes, bytes, bytes]]] = {}
    for path in sorted(TRAFFIC.glob("*.pcap*")):
        reader = dpkt.pcapng.Reader if path.suffix == ".pcapng" else dpkt.pcap.Reader
        with path.open("rb") as file:
            frames = [octets for _, octets in reader(file)]
        for before, octets in pairwise(frames):
            past = Past()
            past.note(1, seen(before, past))
            view = seen(octets, past)
            same = set(each(answered(view)))
            if same:
                mask = bytes(i in same for i in range(len(octets)))
                found.setdefault(view.layers[-1].kind, []).append((before, octets, mask))
                kinds = [x.kind for x in view.layers if x.kind not in ("payload", "padding")]
                found.setdefault(kinds[-1], []).append((before, octets, mask))
    return found


@pytest.mark.parametrize(
    ("kind", "least"), [("arp", 14), ("icmp", 12), ("icmpv6", 36), ("dns", 20), ("dhcp", 27)]
)
def test_recorded_answers_repeat_what_their_standard_says(kind, least):
    known = pairs()[kind]
    assert len(known) >= 2
    assert all(sum(mask) >= least for _, _, mask in known)


@pytest.mark.parametrize("kind", ["arp", "icmp", "icmpv6", "dns", "dhcp"])
def test_a_damaged_octet_is_never_vouched_for_and_its_neighbours_are(kind):
    numbers = {"icmp": 12, "icmpv6": 36}.get(kind, 0)  # by which an answer is told to be one
    with_more = [p for p in pairs()[kind] if sum(p[2]) > numbers]
    assert with_more
    for before, octets, mask in with_more[:4]:
        past = Past()
        past.note(1, seen(before, past))
        at = max(i for i in range(len(octets)) if mask[i])
        broken = octets[:at] + bytes([octets[at] ^ 0x10]) + octets[at + 1 :]
        same = set(each(answered(seen(broken, past))))
        assert at not in same
        assert all(broken[i] == octets[i] for i in same)
        if kind != "arp":  # whose addresses are vouched for as a whole, or not at all
            assert same == {i for i in range(len(octets)) if mask[i]} - {at}


def test_an_answer_to_somebody_else_is_no_answer():
    """The same address asked for by another host: one field alone agrees (RFC 826)."""
    past = Past()
    stranger = edited(ARP, (6, "00005e0053aa"), (22, "00005e0053aac000024d"))
    past.note(1, seen(stranger, past))
    assert answered(seen(ARP_REPLY, past)) == ()
    past.note(2, seen(ARP, past))
    assert answered(seen(ARP_REPLY, past)) != ()


def test_nothing_is_vouched_for_without_a_request():
    past = Past()
    past.note(1, seen(ARP, past))
    assert answered(seen(REPLY_IPV6, past)) == ()
    assert answered(View(REPLY_IPV6, decode_frame(REPLY_IPV6))) == ()
    past.note(2, seen(ECHO_IPV6, past))
    assert (54 + 4, len(REPLY_IPV6)) in answered(seen(REPLY_IPV6, past))
