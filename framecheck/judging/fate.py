"""Fate: at which step a strict host drops a frame, and by which rule (RFC 1122, RFC 8200).

The steps stand in the order in which a receiver takes them. The first that ends the frame's way
decides; what is not known of the host is assumed to fit, and said.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from framecheck.core.finding import Finding, Rule
from framecheck.core.layer import Field, Layer
from framecheck.core.sheet import Fate
from framecheck.core.view import View
from framecheck.judging import host
from framecheck.judging._measure import claimed, is_fragment
from framecheck.judging._tools import is_group
from framecheck.judging.judge import rule_of

STEPS = (
    "mac-address-filter-and-fcs",
    "driver-length-status",
    "ethertype-demux",
    "ip-version-ihl",
    "ip-header-checksum",
    "total-length-vs-received",
    "options",
    "source-destination-address",
    "reassembly",
    "protocol-demux",
    "transport-length",
    "transport-checksum",
    "port",
    "application",
)
"""The steps of a receiver, in their order."""

_SUMMED_AT = {
    "ipv4-header-checksum": "ip-header-checksum",
    "udp-checksum": "transport-checksum",
    "tcp-checksum": "transport-checksum",
}
_LINK = ("ethernet", "vlan", "llc", "snap")
_OVER_IP = ("icmp", "icmpv6", "igmp", "udp", "tcp")
_SOLICITATION = 135
_KNOWN = (frozenset((0, 6, 17, 43, 44, 58, 60)), frozenset((1, 2, 6, 17)))
"""Numbers that a host knows: in IPv6 (RFC 8200 4), in IPv4."""
_AT = {step: i for i, step in enumerate(STEPS)}


class _Turn(NamedTuple):
    """Something on the frame's way that ends it, leaves it open, or is taken for granted."""

    step: int
    what: str
    """``dropped``, ``cannot tell`` or ``assumed``."""
    name: str | None
    """The rule, or what is assumed."""
    late: bool = False
    """Whether it is met only behind the addresses, whatever the place of its step."""

    @property
    def place(self) -> float:
        """Where it stands on the way: its step's place, or just behind the addresses."""
        return max(self.step, _AT["source-destination-address"] + 0.5) if self.late else self.step


def fate(view: View, findings: Sequence[Finding]) -> Fate:
    """What a strict host does with the frame, from its layers, its findings and the host.

    ``findings``: those of ``judge`` for this view. Never raises, whatever the octets.
    """
    if not view.layers or view.layers[0].kind not in ("ethernet", "ipv4", "ipv6", "arp"):
        return Fate("cannot tell")
    ways = (*_drops(findings, view), *_way(view), *_together(view))
    turns = sorted(ways, key=lambda t: t.place)
    ends = [t for t in turns if t.what != "assumed"]
    # At one step, what is known to drop comes before what is not known.
    end = min(ends, key=lambda t: (t.place, t.what != "dropped"), default=None)
    last = len(STEPS) if end is None else end.place
    unknown = end is not None and end.what == "cannot tell"
    assumed = [t.name for t in turns if t.what == "assumed" and t.name and t.place < last]
    if unknown and end is not None and end.name:
        assumed.append(end.name)
    given = tuple(dict.fromkeys(assumed))
    if end is None:
        return Fate("delivered", None, None, given)
    if unknown:
        return Fate("cannot tell", STEPS[end.step], None, given)
    return Fate("dropped", STEPS[end.step], end.name, given)


def _drops(findings: Sequence[Finding], view: View) -> Iterator[_Turn]:
    for finding in findings:
        if finding.layer is not None:
            rule = rule_of(finding.rule, finding.layer)
            if rule is not None and rule.drops is not None and not _passes(rule, view):
                yield _Turn(_AT[rule.drops], "dropped", rule.name, _late(finding, view))


def _late(finding: Finding, view: View) -> bool:
    """Whether it is in a header that only the node reads to which IPv6 delivers: in any of its
    extension headers but hop-by-hop options right behind the fixed one (RFC 8200 4).
    """
    ip = view.find("ipv6")
    if ip is None or not (finding.layer or "").startswith("ipv6-") or not finding.spans:
        return False
    first = view.above(ip)
    every = first is not None and first.kind == "ipv6-hop-by-hop"
    edge = first.stop if first is not None and every else ip.stop
    return finding.spans[0].start >= edge or finding.rule == "ipv6-hop-by-hop-not-first"


def _passes(rule: Rule, view: View) -> bool:
    """Whether a rule of an address filter cannot hold up a frame: it lets pass what is for one
    station or for all, and only of groups it knows whose they are.
    """
    if rule.drops != STEPS[0] or rule.layer == "ethernet":
        return False
    link = view.find("ethernet")
    to = b"" if link is None else link["destination"].raw
    return not to[:1] or not to[0] & 1 or to == b"\xff" * 6


def _asks(rule: Rule, layer: Layer, view: View, known: bool, what: str) -> Iterator[_Turn]:
    """A rule of the host, or what is assumed when the host is not known."""
    step = _AT[rule.drops or "application"]
    if not known:
        yield _Turn(step, "assumed", what)
    elif next(rule.breaks(layer, view), None) is not None:
        yield _Turn(step, "dropped", rule.name)


def _together(view: View) -> Iterator[_Turn]:
    """What awaits the datagram that this frame's fragment made whole, above IP."""
    if view.whole is not None:
        yield from _drops(view.whole.findings, view.whole.view)
        beyond = _AT["reassembly"]
        yield from (t for t in _way(view.whole.view) if t.step > beyond)


def _open(step: str, what: str | None = None) -> _Turn:
    return _Turn(_AT[step], "cannot tell", what)


def _way(view: View) -> Iterator[_Turn]:
    """What the host asks of the frame on its way up, layer by layer."""
    known = [x for x in view.layers if not x.quoted and x.kind not in ("payload", "padding")]
    for layer in known:
        if layer.kind == "ethernet":
            yield from _link(layer, view)
        elif layer.kind == "vlan" and layer.number("vlan_identifier"):
            yield _Turn(_AT["ethertype-demux"], "assumed", "vlan")
        elif layer.kind in ("ipv4", "ipv6"):
            yield from _internet(layer, view)
        elif layer.kind == "arp":
            yield from _arp(layer, view)
        elif layer.kind == "ipv6-routing" and layer.number("segments_left"):
            # Whether it is passed on is the host's own choice.
            yield _Turn(_AT["options"], "cannot tell", None, late=True)
        elif layer.kind == "icmpv6":
            if layer.number("type") == _SOLICITATION:
                ours = _knows(view, layer.get("target_address"))
                yield from _asks(host.solicited_address, layer, view, ours, "ip")
        elif layer.kind in ("udp", "tcp"):
            ours = view.host.port is not None
            yield from _asks(host.port_number, layer, view, ours, "port")
    yield from _end(known, view)
    for verdict in view.verdicts:
        if verdict.outcome == "partial":
            # On a wire nobody finishes it any more: the receiver finds it wrong.
            what = "dropped" if view.on_wire else "assumed"
            name = verdict.name if view.on_wire else "checksum-offload"
            yield _Turn(_AT[_SUMMED_AT[verdict.name]], what, name)


def _link(ethernet: Layer, view: View) -> Iterator[_Turn]:
    destination = ethernet.get("destination")
    if destination is None or not destination.whole:
        yield _open("mac-address-filter-and-fcs")
    elif destination.raw[0] & 1:
        if destination.raw != b"\xff" * 6:
            yield _Turn(_AT["mac-address-filter-and-fcs"], "assumed", "group")
    else:
        yield from _asks(host.mac_address, ethernet, view, view.host.mac is not None, "mac")


def _internet(ip: Layer, view: View) -> Iterator[_Turn]:
    destination = ip.get("destination_address")
    if destination is None or not destination.whole:
        yield _open("ip-version-ihl")
        return
    if is_group(destination.raw):
        yield _Turn(_AT["source-destination-address"], "assumed", "group")
    elif destination.raw != b"\xff" * 4:
        yield from _asks(host.ip_address, ip, view, _knows(view, destination), "ip")
    if is_fragment(ip, view) and view.whole is None:
        yield _open("reassembly")
    if view.cut and (claimed(ip) or 0) > ip.room:
        yield _open("total-length-vs-received")


def _knows(view: View, address: Field | None) -> bool:
    """Whether the host's own address is known, of the version that this one has."""
    ours = view.host.ip
    return ours is not None and address is not None and len(ours) == len(address.raw)


def _arp(arp: Layer, view: View) -> Iterator[_Turn]:
    target = arp.get("target_protocol_address")
    if target is None or not target.whole:
        yield _open("application")
    elif not host.is_announcement(arp):
        yield from _asks(host.ip_address, arp, view, _knows(view, target), "ip")


def _is_announced(last: Layer, view: View) -> bool:
    number = last.number("protocol" if last.kind == "ipv4" else "next_header")
    above = view.above(last)
    nothing = above is None or above.kind == "padding"
    return nothing and number in _KNOWN[last.kind == "ipv4"]


def _end(known: Sequence[Layer], view: View) -> Iterator[_Turn]:
    """Where the way leaves what rules speak of: a type or a protocol of the host's own."""
    kinds = [x.kind for x in known]
    beyond = next((k for k in kinds if k not in _LINK), None)
    if beyond not in ("ipv4", "ipv6", "arp"):
        yield _open("ethertype-demux", "protocol")
    elif beyond != "arp" and view.whole is None and not any(k in _OVER_IP for k in kinds):
        # Of a transport of which nothing is left, a rule speaks.
        if not _is_announced(known[-1], view):
            yield _open("protocol-demux", "protocol")
    elif any(x.kind in ("llc", "snap") for x in view.layers):
        # Hosts should take IP in 802.3 frames (RFC 1122 2.3.3); common ones do not.
        yield _open("ethertype-demux", "protocol")
