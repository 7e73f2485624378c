"""The kernel of this machine as a host: frames in, one at a time, and what it did with each out.

    python -m tests.outside.kernel.kernel_host < frames

Each line of standard input is one frame in hex; each line of standard output is what was seen
then (``meaning.py`` gives it a meaning). The process makes a network namespace of its own, puts
a TAP device in it, and writes the frames there: no other network sees them, and all is gone when
it ends. It leaves with 3, and a word on standard error, where that is not allowed.

What is seen: frames that the host sends back; data that arrive at its sockets; copies that raw
sockets get, one for each transport (the kernel hands them over between the IP layer and the
transport); neighbours and routers that it learned; and the counters of RFC 4293, 4022 and 4113 as
/proc shows them, before and after.

What is set apart from the kernel's defaults, so that one frame does not change the next one's
way: no limits on the rate of ICMP errors and resets, no repeated SYN+ACK, fragments kept for
the whole run; a default route through a neighbour that is entered by hand, so that every answer
leaves at once; neighbours are remembered of unasked ARP too, and forgotten after each frame.
"""

from __future__ import annotations

import contextlib
import ctypes
import fcntl
import os
import socket
import struct
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

from pyroute2 import IPRoute
from pyroute2.netlink.exceptions import NetlinkError

from tests.outside.kernel.host import (
    BROADCAST,
    GATEWAY,
    GATEWAY_IPV6,
    GATEWAY_MAC,
    GROUPS,
    GROUPS_IPV6,
    IPV4,
    IPV6,
    MAC,
    MASK,
    TCP_PORTS,
    UDP_PORTS,
)

NAME = "frost0"

NEW_USER, NEW_NET = 0x10000000, 0x40000000
TUNSETIFF, IFF_TAP, IFF_NO_PI = 0x400454CA, 0x0002, 0x1000
SIOCDARP, PERMANENT_FLAG = 0x8953, 4
PERMANENT, STALE = 0x80, 0x04
NO_DAD, NO_PREFIX_ROUTE = 0x02, 0x200
ON_LINK = 4
BY_ADVERTISEMENT = 9

SETTINGS = {
    "ipv4/icmp_ratelimit": "0",
    "ipv4/icmp_msgs_per_sec": "1000000",
    "ipv4/icmp_msgs_burst": "1000000",
    "ipv4/tcp_invalid_ratelimit": "0",
    "ipv4/tcp_challenge_ack_limit": "1000000",
    "ipv4/tcp_synack_retries": "0",
    "ipv4/tcp_max_syn_backlog": "65536",
    "ipv4/ipfrag_time": "3600",
    "core/somaxconn": "65536",
    "ipv6/icmp/ratelimit": "0",
    "ipv6/ip6frag_time": "3600",
    f"ipv4/conf/{NAME}/arp_accept": "1",
    f"ipv6/conf/{NAME}/addr_gen_mode": "1",
    f"ipv6/conf/{NAME}/router_solicitations": "0",
    f"ipv6/conf/{NAME}/accept_ra_pinfo": "0",
    f"ipv6/conf/{NAME}/accept_ra_mtu": "0",
    f"ipv6/conf/{NAME}/accept_redirects": "0",
    f"ipv6/neigh/{NAME}/mcast_solicit": "1",
    f"ipv6/neigh/{NAME}/gc_stale_time": "3600",
    f"ipv6/neigh/{NAME}/delay_first_probe_time": "3600",
}
REPORT = "report"
COUNTED = ("In", "Reasm", "NoPorts", "Ignored")
TIMED = ("TCPTimeouts", "TCPAutoCorking", "TW")
"""Counters that move by themselves."""
UNCOUNTED = ("InOctets", "InMcastOctets", "InBcastOctets", "InNoECTPkts", "InECT", "InCEPkts")


def enter() -> None:
    """Into a network namespace of our own. OSError where neither root nor a user may."""
    library = ctypes.CDLL(None, use_errno=True)
    if library.unshare(NEW_NET) == 0:
        return
    uid, gid = os.getuid(), os.getgid()
    if library.unshare(NEW_USER | NEW_NET):
        raise OSError(ctypes.get_errno(), "no network namespace of our own")
    for file, text in (("setgroups", "deny"), ("uid_map", f"0 {uid} 1"), ("gid_map", f"0 {gid} 1")):
        Path("/proc/self", file).write_text(text)


def device() -> int:
    """The program's end of a new TAP device."""
    handle = os.open("/dev/net/tun", os.O_RDWR | os.O_NONBLOCK)
    fcntl.ioctl(handle, TUNSETIFF, struct.pack("16sH22x", NAME.encode(), IFF_TAP | IFF_NO_PI))
    return handle


def configure(ip: IPRoute) -> int:
    """Addresses, routes and neighbours; the index of the device."""
    index: int = ip.link_lookup(ifname=NAME)[0]
    for path, value in SETTINGS.items():
        with contextlib.suppress(OSError):  # a kernel that lacks a setting lacks what it limits
            Path("/proc/sys/net", path).write_text(value)
    ip.link("set", index=1, state="up")
    ip.link("set", index=index, address=MAC, state="up")
    # All answers, also those to addresses of the own network, go to the one known neighbour.
    ip.addr(
        "add",
        index=index,
        address=IPV4,
        prefixlen=MASK,
        broadcast=BROADCAST,
        flags=NO_PREFIX_ROUTE,
    )
    for address in IPV6:
        flags = NO_DAD | NO_PREFIX_ROUTE
        ip.addr("add", index=index, address=address, prefixlen=64, flags=flags)
    for address in (GATEWAY, GATEWAY_IPV6):
        ip.neigh("add", ifindex=index, dst=address, lladdr=GATEWAY_MAC, state=PERMANENT)
    ip.route("add", dst="default", gateway=GATEWAY, oif=index, flags=ON_LINK)
    ip.route("add", family=socket.AF_INET6, dst=GATEWAY_IPV6 + "/128", oif=index)
    ip.route("add", family=socket.AF_INET6, dst="::/0", gateway=GATEWAY_IPV6, oif=index)
    return index


def listening() -> dict[str, socket.socket]:
    """Sockets by the word that stands for what arrives there."""
    sockets = {}
    for port in UDP_PORTS:
        s = socket.socket(socket.AF_INET6, socket.SOCK_DGRAM)
        s.setsockopt(socket.IPPROTO_IPV6, socket.IPV6_V6ONLY, 0)
        s.bind(("::", port))
        sockets[f"udp:{port}"] = s
    index = struct.pack("@I", socket.if_nametoindex(NAME))
    for group in GROUPS:
        joined = struct.pack("4s4xI", socket.inet_aton(group), socket.if_nametoindex(NAME))
        s.setsockopt(socket.IPPROTO_IP, socket.IP_ADD_MEMBERSHIP, joined)
    for group in GROUPS_IPV6:
        joined = socket.inet_pton(socket.AF_INET6, group) + index
        s.setsockopt(socket.IPPROTO_IPV6, socket.IPV6_JOIN_GROUP, joined)
    for port in TCP_PORTS:
        tcp = socket.socket(socket.AF_INET6, socket.SOCK_STREAM)
        tcp.setsockopt(socket.IPPROTO_IPV6, socket.IPV6_V6ONLY, 0)
        tcp.bind(("::", port))
        tcp.listen(65536)
        sockets[f"listener:{port}"] = tcp
    for family, word, numbers in (
        (socket.AF_INET, "raw4", (1, 2, 6, 17)),
        (socket.AF_INET6, "raw6", (58, 6, 17)),
    ):
        for number in numbers:
            sockets[f"{word}:{number}"] = socket.socket(family, socket.SOCK_RAW, number)
    for s in sockets.values():
        s.setblocking(False)
    return sockets


def counters(files: dict[str, int]) -> dict[str, int]:
    """All counters that tell of frames that came in, by ``Group.Name``."""
    found = {}
    for name in ("snmp", "netstat"):
        lines = os.pread(files[name], 1 << 16, 0).decode().splitlines()
        for names, values in zip(lines[::2], lines[1::2], strict=True):
            group = names.partition(":")[0]
            pairs = zip(names.split()[1:], values.split()[1:], strict=True)
            found.update({f"{group}.{n}": int(v) for n, v in pairs if _counts(group, n)})
    for line in os.pread(files["snmp6"], 1 << 16, 0).decode().splitlines():
        name, value = line.split()
        group, _, short = name.partition("6")
        if _counts(group, short):
            found[f"{group}6.{short}"] = int(value)
    for line in os.pread(files["dev"], 1 << 16, 0).decode().splitlines():
        if line.strip().startswith(NAME + ":"):
            found["Device.Dropped"] = int(line.partition(":")[2].split()[3])
    return found


def _counts(group: str, name: str) -> bool:
    if group == "TcpExt":
        return not name.startswith(TIMED)
    return name.startswith(COUNTED) and not name.startswith(UNCOUNTED)


def answer(octets: bytes) -> str:
    """A frame that the host sent, in a word; ``REPORT`` for what it says when a timer ends."""
    kind, rest = octets[12:14], octets[14:]
    if kind == b"\x08\x06":
        return "arp-reply" if rest[7] == 2 else "arp-request"
    if kind == b"\x08\x00":
        header = (rest[0] & 15) * 4
        return _transport(rest[9], rest[header:])
    if kind == b"\x86\xdd":
        return _transport(rest[6], rest[40:])  # with hop-by-hop options: reports of groups
    return f"type {kind.hex()}"


def _transport(number: int, octets: bytes) -> str:
    if number == 1:
        return "echo-reply" if octets[0] == 0 else f"icmp {octets[0]}/{octets[1]}"
    if number == 58:
        named = {129: "echo-reply", 135: "ns", 136: "na", 133: REPORT, 143: REPORT}
        return named.get(octets[0], f"icmpv6 {octets[0]}/{octets[1]}")
    if number == 6:
        named = {2: "syn", 18: "syn-ack", 4: "rst", 20: "rst"}
        return named.get(octets[13] & 0x17, f"tcp {octets[13]:02x}")
    return REPORT if number in (0, 2) else f"protocol {number}"


def answers(tap: int) -> Iterator[str]:
    """Words for all frames that the host has sent by now."""
    while True:
        try:
            yield answer(os.read(tap, 1 << 16))
        except BlockingIOError:
            return


def arrived(sockets: dict[str, socket.socket]) -> Iterator[str]:
    """Words for what has arrived at sockets by now, with the count of octets for UDP."""
    for word, s in sockets.items():
        if word.startswith("listener"):
            continue
        while True:
            try:
                data = s.recv(1 << 16)
            except BlockingIOError:
                break
            yield f"{word}={len(data)}" if word.startswith("udp") else word


class Learned:
    """What the host remembers of a frame, found out and forgotten again."""

    def __init__(self, ip: IPRoute, index: int, files: dict[str, int]) -> None:
        self._ip, self._index, self._files = ip, index, files
        self._control = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)

    def prepare(self, octets: bytes) -> bytes | None:
        """Before a neighbor advertisement: an old entry of its target, or it is not looked at."""
        if octets[12:14] != b"\x86\xdd" or octets[54:55] != b"\x88" or len(octets) < 78:
            return None
        with contextlib.suppress(NetlinkError):
            self._ip.neigh(
                "add",
                ifindex=self._index,
                dst=socket.inet_ntop(socket.AF_INET6, octets[62:78]),
                lladdr="02:00:00:00:00:01",
                state=STALE,
            )
            return octets[62:78]
        return None

    def words(self, target: bytes | None, octets: bytes) -> Iterator[str]:
        """What was learned, and forget it."""
        for line in os.pread(self._files["arp"], 1 << 16, 0).decode().splitlines()[1:]:
            address, _, flags, *_ = line.split()
            if not int(flags, 16) & PERMANENT_FLAG:
                yield "neighbour"
                self._forget(socket.inet_aton(address))
        if target is not None:
            yield from self._neighbour(socket.inet_ntop(socket.AF_INET6, target))
        if octets[12:14] == b"\x86\xdd" and octets[54:55] == b"\x86":
            yield from self._router()

    def _forget(self, address: bytes) -> None:
        entry = (socket.AF_INET, 0, address, b"", 0, b"", NAME.encode())
        with contextlib.suppress(OSError):
            fcntl.ioctl(self._control, SIOCDARP, struct.pack("HH4s8x16sI16s16s", *entry))

    def _neighbour(self, target: str) -> Iterator[str]:
        for entry in self._ip.get_neighbours(family=socket.AF_INET6, dst=target):
            if entry.get_attr("NDA_DST") != target:
                continue
            if entry["state"] != STALE or entry.get_attr("NDA_LLADDR") != "02:00:00:00:00:01":
                yield "neighbour"
            self._ip.neigh("del", ifindex=self._index, dst=target)

    def _router(self) -> Iterator[str]:
        for route in self._ip.get_default_routes(family=socket.AF_INET6):
            if route["proto"] == BY_ADVERTISEMENT:
                yield "router"
                self._ip.route(
                    "del",
                    family=socket.AF_INET6,
                    dst="::/0",
                    gateway=route.get_attr("RTA_GATEWAY"),
                    oif=self._index,
                    proto=BY_ADVERTISEMENT,
                )


def observer() -> Callable[[bytes], str]:
    """Set everything up; gives a function from a frame to what was seen. OSError: not allowed."""
    enter()
    tap = device()
    ip = IPRoute()
    index = configure(ip)
    sockets = listening()
    names = ("snmp", "snmp6", "netstat", "dev", "arp")
    files = {n: os.open(f"/proc/self/net/{n}", os.O_RDONLY) for n in names}
    learned = Learned(ip, index, files)

    def once(octets: bytes) -> str | None:
        target = learned.prepare(octets)
        list(answers(tap))
        list(arrived(sockets))
        before = counters(files)
        try:
            os.write(tap, octets)
        except OSError as error:
            return f"refused:{error.errno}"
        after = counters(files)
        words = [f"answer:{w}" for w in answers(tap)]
        if f"answer:{REPORT}" in words:
            return None
        words += [f"at:{w}" for w in arrived(sockets)]
        words += [f"learned:{w}" for w in learned.words(target, octets)]
        words += [
            f"{name}+{value - before.get(name, 0)}"
            for name, value in sorted(after.items())
            if value > before.get(name, 0)
        ]
        return " ".join(words)

    def observe(octets: bytes) -> str:
        # A timer that ended just then spoils what is seen: the host also hears its own report.
        while (words := once(octets)) is None:
            pass
        return words

    return observe


def main() -> int:
    """Frames from standard input to observations on standard output."""
    try:
        observe = observer()
    except (OSError, NetlinkError) as error:
        print(f"no namespace with a TAP device here: {error}", file=sys.stderr)
        return 3
    for line in sys.stdin:
        print(observe(bytes.fromhex(line)), flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
