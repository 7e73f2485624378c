"""From what a host showed for a frame to the steps at which it can have ended there.

A host does not say where it dropped a frame; it shows traces. Each trace leaves some ends open and
rules out all others: a set of steps (those of ``framecheck.judging.fate.STEPS``), and
``delivered``. Where the set has one member the end is known.

The kernel, in the order in which the traces are looked at:

- An answer names the end: replies and SYN+ACK are deliveries, ICMP 3/2 (ICMPv6 4/1) is the
  protocol's demultiplexing, 3/3 (ICMPv6 1/4) and a reset are the port's, 12/0 an option (RFC 792,
  1122, 4443, 9293 say when each is sent).
- Octets at a UDP socket, a neighbour or a router that it learned are deliveries.
- ``InDelivers`` says that the frame passed the IP layer. Then a counter of the transport tells
  length (``InErrors``, ``InErrs`` alone) from sum (with ``InCsumErrors``), ``NoPorts`` the port.
  A request without its answer was refused. Any other message without an error is delivered, or was
  refused by what judges its content: no counter parts these two.
- Before that ``InCsumErrors`` is the header's sum, ``InTruncatedPkts`` the length received,
  ``InHdrErrors`` alone version, header length, a total length below it, an option, or in IPv6
  an address that may not be one;
  ``InAddrErrors`` and ``InNoRoutes`` the addresses; ``ReasmReqds`` that it is kept for the rest.
  ``InReceives`` alone: its addresses (or an IPv4 source route, an IPv6 option).
- No counter: the link. The kernel looks at the destination address only inside the protocol's own
  entry, and says of neither step that it dropped anything; the destination address itself tells.
  ARP has no counters: a message for this host that shows nothing ended inside ARP.

The small stack shows which of its functions were entered and which sums were right:
``in:transport`` stands where it hands a datagram to its transports, behind reassembly. The sum
that stands behind ``in:ipv4`` is the header's, the first behind a transport's name is that one's.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from tests.outside.kernel.host import MAC as MAC_ADDRESS

DELIVERED = "delivered"
MAC, DRIVER, TYPE = "mac-address-filter-and-fcs", "driver-length-status", "ethertype-demux"
VERSION, HEADER_SUM = "ip-version-ihl", "ip-header-checksum"
LENGTH, OPTIONS = "total-length-vs-received", "options"
ADDRESS, REASSEMBLY, PROTOCOL = "source-destination-address", "reassembly", "protocol-demux"
SIZE, SUM, PORT, APPLICATION = "transport-length", "transport-checksum", "port", "application"

OWN = bytes.fromhex(MAC_ADDRESS.replace(":", ""))

_ANSWERED = {
    "arp-reply": (DELIVERED,),
    "echo-reply": (DELIVERED,),
    "syn-ack": (DELIVERED,),
    "na": (DELIVERED,),
    "icmp 14/0": (DELIVERED,),
    "icmp 3/2": (PROTOCOL,),
    "icmp 3/3": (PORT,),
    "icmp 12/0": (OPTIONS,),
    "rst": (PORT,),
    "icmpv6 1/4": (PORT,),
    "icmpv6 4/0": (OPTIONS, LENGTH, REASSEMBLY),
    "icmpv6 4/1": (PROTOCOL, OPTIONS),
    "icmpv6 4/2": (OPTIONS,),
    "icmpv6 4/3": (REASSEMBLY,),
}
Ends = frozenset[str]


def _link(octets: bytes) -> Ends:
    """Where a frame of which IP saw nothing can have ended."""
    if len(octets) < 14:
        return frozenset((DRIVER,))
    if octets[:6] != OWN and not octets[0] & 1:
        return frozenset((MAC,))
    group = octets[0] & 1 and octets[:6] != b"\xff" * 6
    tagged = octets[12:14] in (b"\x81\0", b"\x88\xa8") and len(octets) > 16
    if tagged and octets[14] & 15 == 0 == octets[15]:
        octets = octets[:12] + octets[16:]  # the VLAN of no number is everybody's
    if octets[12:14] == b"\x08\x06":
        return frozenset((ADDRESS, APPLICATION, *((MAC,) if group else ())))
    return frozenset((TYPE, *((MAC,) if group else ())))


def kernel(seen: str, octets: bytes) -> Ends:
    """Where the kernel can have ended a frame for which it showed this."""
    words = _phrases(seen)
    counted = {w.partition("+")[0] for w in words if "+" in w}
    if any(w.startswith("refused:") for w in words):
        return frozenset((DRIVER,))
    for word in words:
        if word.startswith(("at:udp", "learned:")):
            return frozenset((DELIVERED,))
        if word.startswith("answer:"):
            return frozenset(_ANSWERED[word.removeprefix("answer:")])
    if not counted & {"Ip.InReceives", "Ip6.InReceives"}:
        return _link(octets)
    if not counted & {"Ip.InDelivers", "Ip6.InDelivers"}:
        return frozenset(_internet(counted, octets))
    return frozenset(_transport(counted))


def _phrases(seen: str) -> list[str]:
    """The words of a line; an answer with a type and a code is one."""
    for name in ("icmp", "icmpv6", "tcp"):
        seen = seen.replace(f"answer:{name} ", f"answer:{name}_")
    return [w.replace("_", " ", 1) if w.startswith("answer:") else w for w in seen.split()]


def _internet(counted: set[str], octets: bytes) -> Iterable[str]:
    """Of a frame that the IP layer did not hand on."""
    old = "Ip.InReceives" in counted
    for names, ends in _BEFORE_TRANSPORT.items():
        if all(f"{'Ip' if old else 'Ip6'}{n}" in counted for n in names.split()):
            return ends if len(ends) == 1 or not old else [e for e in ends if e != ADDRESS]
    header = octets[octets.find(b"\x45" if old else b"\x60", 14) :]
    plain = old and octets[14:15] == b"\x45" and len(header) >= 20
    return (ADDRESS,) if plain else (ADDRESS, OPTIONS)


_BEFORE_TRANSPORT: Mapping[str, tuple[str, ...]] = {
    ".InHdrErrors Ext.InCsumErrors": (HEADER_SUM,),
    ".InHdrErrors": (VERSION, LENGTH, OPTIONS, ADDRESS),
    "Ext.InTruncatedPkts": (LENGTH,),
    ".InTruncatedPkts": (LENGTH,),
    ".InAddrErrors": (ADDRESS,),
    "Ext.InNoRoutes": (ADDRESS,),
    ".InNoRoutes": (ADDRESS,),
    ".ReasmReqds": (REASSEMBLY,),
    ".InUnknownProtos": (PROTOCOL, OPTIONS),
}


_ASKS = ("Icmp.InEchos", "Icmp6.InEchos", "Icmp6.InNeighborSolicits", "Icmp.InTimestamps")
"""Messages that the host answers, if it takes them."""


def _transport(counted: set[str]) -> Iterable[str]:
    """Of a frame that reached a transport and had no answer."""
    if any(c.endswith("InCsumErrors") for c in counted):
        return (SUM,)
    if counted & {"Udp.NoPorts", "Udp6.NoPorts"}:
        return (PORT,)
    if counted & {"Udp.InErrors", "Udp6.InErrors", "Tcp.InErrs"}:
        return (SIZE,)
    if counted & {"Icmp.InErrors", "Icmp6.InErrors", *_ASKS}:
        return (SIZE, APPLICATION)
    if counted & {"Ip.InUnknownProtos", "Ip6.InUnknownProtos"}:
        return (PROTOCOL,)
    if counted & {"Icmp.InMsgs", "Icmp6.InMsgs"}:
        return (DELIVERED, APPLICATION, SIZE)
    if counted & {"Tcp.InSegs"}:
        return (PORT, SIZE, ADDRESS)
    return (PROTOCOL, SIZE, SUM, PORT, APPLICATION, DELIVERED)


def small(seen: str, octets: bytes) -> Ends:
    """Where the small stack can have ended a frame for which it showed this."""
    return frozenset(_small(seen.replace("answer:icmp_", "answer:icmp ").split(), octets))


def _small(words: list[str], octets: bytes) -> Iterable[str]:
    text = " ".join(words)
    if "filtered" in words:
        return (MAC,)
    if "answer:icmp 3/2" in text:
        return (PROTOCOL,)
    if "answer:icmp 3/3" in text or "answer:icmpv6_1/4" in text or "answer:rst" in text:
        return (PORT,)
    if "answer:icmpv6_4/1" in text:
        return (PROTOCOL, OPTIONS)
    if "answer:icmpv6_4/" in text:
        return (OPTIONS, LENGTH, REASSEMBLY)
    if any(w.startswith(("answer:", "at:udp", "learned:")) for w in words):
        return (DELIVERED,)
    entered = [w.removeprefix("in:") for w in words if w.startswith("in:")]
    if not entered:
        group = octets[:1] and octets[0] & 1 and octets[:6] != b"\xff" * 6
        return (DRIVER, TYPE) if len(octets) <= 14 else (TYPE, MAC) if group else (TYPE,)
    if entered == ["arp"]:
        return (ADDRESS, APPLICATION)
    return _small_ip(words, entered)


def _small_ip(words: list[str], entered: list[str]) -> Iterable[str]:
    if "transport" not in entered:
        if "reassembly" in entered:
            return (REASSEMBLY,)
        if entered[0] == "ipv6":
            return (VERSION, LENGTH, OPTIONS, ADDRESS, PROTOCOL)
        sums = [w for w in words if w.startswith("sum:")]
        if not sums:
            return (VERSION, LENGTH)
        return (HEADER_SUM,) if sums[0] == "sum:wrong" else (ADDRESS, OPTIONS)
    if entered[-1] == "transport":
        return (PROTOCOL,)
    above = words[words.index("in:transport") + 2 :]
    sums = [w for w in above if w.startswith("sum:")]
    if "sum:wrong" in sums[:1]:
        return (SUM,)
    if entered[-1] == "tcp":
        return (SIZE, PORT, ADDRESS)
    if entered[-1] == "udp":
        return (SIZE, PORT, ADDRESS)
    return (SIZE, APPLICATION, DELIVERED) if sums else (SIZE, APPLICATION)
