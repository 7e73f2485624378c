"""What the two ends do while the recorder listens: one function a kind of traffic.

The server is 192.0.2.1; the frost alarm gets 192.0.2.77 from it. Programs and the kernel speak for
themselves; where a scene writes octets by hand it says so.
"""

from __future__ import annotations

import contextlib
import http.client
import os
import signal
import socket
import struct
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

SERVER, ALARM = "192.0.2.1", "192.0.2.77"
SO_NO_CHECK, TCP_MD5SIG, MPTCP, MSG_FASTOPEN = 11, 14, 262, 0x20000000


@dataclass
class Bench:
    """Both ends, a folder for their files, and the recorder on the link."""

    server: Any
    alarm: Any
    folder: Path
    recorder: Any

    def ping(self, *words: str) -> None:
        """One echo request, one second of patience."""
        self.alarm.run("ping", "-n", "-c", "1", "-W", "1", *words)


def _patience(ready: Callable[[], object], seconds: float = 10) -> bool:
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if ready():
            return True
        time.sleep(0.05)
    return False


def services(bench: Bench) -> None:
    """DHCP and DNS on the server (dnsmasq)."""
    bench.server.start(
        *("dnsmasq", "--keep-in-foreground", "--conf-file=/dev/null", "--pid-file=", "--user=root"),
        *("--interface=lan0", "--bind-interfaces", "--no-resolv", "--no-hosts", "--no-poll"),
        *("--dhcp-range=192.0.2.64,192.0.2.95,255.255.255.0,1h", "--dhcp-authoritative"),
        *("--dhcp-host=00:00:5e:00:53:07,192.0.2.77,frost-1", "--domain=orchard.example"),
        *(f"--dhcp-leasefile={bench.folder}/leases", "--dhcp-option=option:ntp-server,192.0.2.1"),
        *("--dhcp-option=option:classless-static-route,198.51.100.0/24,192.0.2.1",),
        *("--dhcp-boot=frost.img,seed.orchard.example,192.0.2.1", "--local=/example/"),
        *("--host-record=seed.orchard.example,192.0.2.1", "--address=/gate.orchard.example/#"),
        *("--host-record=sprinkler.orchard.example,192.0.2.33",),
        *("--cname=water.orchard.example,sprinkler.orchard.example", "--no-ping"),
        *("--mx-host=orchard.example,seed.orchard.example,10", "--localise-queries"),
        *("--txt-record=orchard.example,frost below -2 degrees",),
        *("--srv-host=_alarm._udp.orchard.example,sprinkler.orchard.example,5001,5,7",),
    )
    time.sleep(0.5)


CLIENT_SCRIPT = """#!/bin/sh
# What a DHCP client calls; acts on its own interface inside its own namespace only.
case "$1$reason" in
bound|renew|BOUND|RENEW|REBOOT)
    ip addr replace ${ip:-$new_ip_address}/24 dev $interface; echo "$1$reason" >> FOLDER/bound;;
deconfig|RELEASE) ip addr flush dev $interface;;
esac
exit 0
"""


def _client_script(bench: Bench) -> str:
    path = bench.folder / "client"
    path.write_text(CLIENT_SCRIPT.replace("FOLDER", str(bench.folder)))
    path.chmod(0o755)
    (bench.folder / "bound").write_text("")
    return str(path)


def _bound(bench: Bench, times: int) -> bool:
    return _patience(lambda: len((bench.folder / "bound").read_text().split()) >= times)


def lease(bench: Bench) -> None:
    """The first client (udhcpc): a lease, an ARP probe, a renewal, a release, again a lease."""
    script = _client_script(bench)
    words = (
        "udhcpc",
        "-f",
        "-a200",
        "-i",
        "frost0",
        "-s",
        script,
        "-t",
        "3",
        "-T",
        "1",
        "-V",
        "frost",
    )
    client = bench.alarm.start(*words, "-x", "hostname:frost-1", "-O", "121", "-O", "ntpsrv")
    if not _bound(bench, 1):
        raise RuntimeError("no lease")
    # ``ip netns exec`` becomes the program that it starts, so this is the client's own number.
    os.kill(client.pid, signal.SIGUSR1)
    _bound(bench, 2)
    os.kill(client.pid, signal.SIGUSR2)
    time.sleep(0.5)
    os.kill(client.pid, signal.SIGUSR1)
    _bound(bench, 3)
    client.terminate()
    client.wait(5)
    bench.alarm.run("ip", "addr", "replace", f"{ALARM}/24", "dev", "frost0", check=True)
    bench.alarm.run("ip", "route", "replace", "default", "via", SERVER)


OLD_LEASE = """lease {
  interface "frost0";
  fixed-address 198.51.100.7;
  option subnet-mask 255.255.255.0;
  option dhcp-lease-time 86400;
  option dhcp-server-identifier 192.0.2.1;
  renew 0 2037/01/01 00:00:00;
  rebind 0 2037/01/02 00:00:00;
  expire 0 2037/01/03 00:00:00;
}
"""


def another_lease(bench: Bench) -> None:
    """The second client (dhclient), another address: refused (NAK), then a lease, a release."""
    script = _client_script(bench)
    alarm, folder = bench.alarm, bench.folder
    alarm.run("ip", "addr", "flush", "dev", "frost0")
    alarm.run("ip", "link", "set", "frost0", "down")
    alarm.run("ip", "link", "set", "frost0", "address", "00:00:5e:00:53:08")
    alarm.run("ip", "link", "set", "frost0", "up", check=True)
    (folder / "old").write_text(OLD_LEASE)
    (folder / "conf").write_text('send host-name "frost-2";\ninitial-interval 2;\ntimeout 12;\n')
    words = ["dhclient", "-4", "-cf", str(folder / "conf"), "-lf", str(folder / "old")]
    words += ["-pf", str(folder / "pid"), "-sf", script, "-v"]
    alarm.run(*words, "-1", "frost0", timeout=30)
    alarm.run(*words, "-r", "frost0", timeout=30)
    alarm.run("ip", "link", "set", "frost0", "down")
    alarm.run("ip", "link", "set", "frost0", "address", "00:00:5e:00:53:07")
    alarm.run("ip", "link", "set", "frost0", "up", check=True)
    alarm.run("ip", "addr", "replace", f"{ALARM}/24", "dev", "frost0", check=True)
    alarm.run("ip", "route", "replace", "default", "via", SERVER)


def broadcast_lease(bench: Bench) -> None:
    """A client that asks for answers by broadcast and for an address of its own choice (udhcpc)."""
    words = ("udhcpc", "-f", "-q", "-n", "-B", "-r", "192.0.2.90", "-i", "frost0", "-t", "2")
    bench.alarm.run(*words, "-T", "1", "-s", "/bin/true")


def declined(bench: Bench) -> None:
    """A client (dhclient) whose script finds the address taken, so that it declines it."""
    script = bench.folder / "taken"
    script.write_text('#!/bin/sh\n[ "$reason" != BOUND ]\n')
    script.chmod(0o755)
    (bench.folder / "conf").write_text('send host-name "frost-2";\ninitial-interval 2;\n')
    files = ("-lf", f"{bench.folder}/fresh", "-pf", f"{bench.folder}/pid", "-sf", str(script))
    client = bench.alarm.start(
        "dhclient", "-4", "-d", "-cf", f"{bench.folder}/conf", *files, "frost0"
    )
    time.sleep(2)
    client.terminate()
    client.wait(5)


def inform(bench: Bench) -> None:
    """DHCPINFORM: the message is written here, the rest is the kernel's and the server's."""

    def ask() -> None:
        with socket.socket(type=socket.SOCK_DGRAM) as port:
            port.settimeout(2)
            port.bind((ALARM, 68))
            head = struct.pack(
                "!BBBBIHH4s12x", 1, 1, 6, 0, 0x3903F326, 0, 0, socket.inet_aton(ALARM)
            )
            hardware = bytes.fromhex("00005e005307").ljust(16, b"\0")
            tail = bytes.fromhex("63825363 350108 3704010306 2a ff")
            port.sendto((head + hardware + bytes(192) + tail).ljust(300, b"\0"), (SERVER, 67))
            with contextlib.suppress(TimeoutError):
                port.recv(2000)

    bench.alarm.inside(ask)


def arp(bench: Bench) -> None:
    """Ask, probe, announce both ways, and ask for an address that nobody has."""
    for words in (["-c", "2", SERVER], ["-D", "-c", "1", "-w", "1", "192.0.2.88"]):
        bench.alarm.run("busybox", "arping", "-I", "frost0", *words)
    bench.alarm.run("busybox", "arping", "-I", "frost0", "-U", "-c", "1", "-w", "1", ALARM)
    bench.alarm.run("busybox", "arping", "-I", "frost0", "-A", "-c", "1", "-w", "1", ALARM)
    bench.ping("192.0.2.99")


def echo(bench: Bench) -> None:
    """Echo of many sizes, fragments, marks, options, broadcast."""
    for size in (0, 1, 7, 8, 17, 18, 19, 55, 56, 57, 255, 256, 513, 1000, 1471, 1472):
        bench.ping("-s", str(size), SERVER)
    bench.ping("-s", "3000", SERVER)
    bench.ping("-s", "1473", SERVER)
    bench.ping("-p", "a5", "-Q", "0xb8", "-M", "dont", SERVER)
    bench.ping("-M", "do", "-t", "1", SERVER)
    for option in (["-R"], ["-T", "tsonly"], ["-T", "tsandaddr"]):
        bench.ping(*option, SERVER)
    bench.ping("-b", "192.0.2.255")


def few_echoes(bench: Bench) -> None:
    """Echo of a few sizes."""
    for size in (0, 1, 56, 57, 1472, 3000):
        bench.ping("-s", str(size), SERVER)


def refusals(bench: Bench) -> None:
    """Each kind of ICMP error that the server's kernel gives, and a time stamp exchange."""
    bench.server.setting("ipv4/ip_forward", "1")
    bench.server.setting("ipv4/icmp_ratelimit", "0")
    bench.server.run("ip", "route", "add", "203.0.113.0/24", "dev", "lo", "mtu", "600")
    bench.server.run("ip", "route", "add", "prohibit", "198.51.100.128/25")
    bench.ping("-t", "1", "203.0.113.5")
    bench.ping("198.51.100.5")
    bench.ping("198.51.100.200")
    bench.ping("-M", "do", "-s", "1000", "203.0.113.5")

    def send() -> None:
        for size in (0, 1, 40, 900):
            with socket.socket(type=socket.SOCK_DGRAM) as port:
                port.sendto(bytes(range(256)) * 4 if size > 800 else bytes(size), (SERVER, 7777))
        with socket.socket(socket.AF_INET, socket.SOCK_RAW, 253) as port:
            port.sendto(b"no such protocol", (SERVER, 0))
        stamp = struct.pack("!BBHHHIII", 13, 0, 0, 0x0700, 1, 36_000_000, 0, 0)
        total = sum(struct.unpack("!10H", stamp))
        total = (total & 0xFFFF) + (total >> 16)
        with socket.socket(socket.AF_INET, socket.SOCK_RAW, socket.IPPROTO_ICMP) as port:
            port.sendto(stamp[:2] + struct.pack("!H", 0xFFFF ^ total) + stamp[4:], (SERVER, 0))

    bench.alarm.inside(send)
    time.sleep(0.3)


def astray(bench: Bench) -> None:
    """A redirect, a host that is not there, a fragment whose rest never comes."""
    bench.server.setting("ipv4/ip_forward", "1")
    bench.server.setting("ipv4/icmp_ratelimit", "0")
    bench.server.run("ip", "route", "add", "198.51.100.64/26", "via", "192.0.2.50")
    bench.alarm.run("ping", "-n", "-c", "1", "-W", "4", "198.51.100.66")
    bench.server.setting("ipv4/ipfrag_time", "1")
    ends = socket.inet_aton(ALARM), socket.inet_aton(SERVER)
    lonely = struct.pack("!BBHHHBBH4s4s", 0x45, 0, 36, 7, 0x2000, 64, 17, 0, *ends)

    def send() -> None:
        with socket.socket(socket.AF_INET, socket.SOCK_RAW, socket.IPPROTO_RAW) as port:
            port.sendto(lonely + bytes.fromhex("1388138900180000") + b"half way", (SERVER, 0))

    bench.alarm.inside(send)
    time.sleep(1.5)


def datagrams(bench: Bench) -> None:
    """UDP both ways: every small length, full frames, fragments, without a sum, to a group."""

    def listen() -> socket.socket:
        port = socket.socket(type=socket.SOCK_DGRAM)
        port.bind((SERVER, 5001))
        port.settimeout(2)
        return port

    def talk() -> None:
        with socket.socket(type=socket.SOCK_DGRAM) as port:
            port.settimeout(2)
            port.bind((ALARM, 5000))
            for size in (0, 1, 2, 3, 17, 18, 19, 100, 1001, 1471, 1472, 3000):
                reading = (b"frost %d degrees, " % -size) * 200
                port.sendto(reading[:size], (SERVER, 5001))
                data, peer = answering.recvfrom(4000)
                answering.sendto(data[::-1], peer)
                port.recv(4000)
            port.setsockopt(socket.SOL_SOCKET, SO_NO_CHECK, 1)
            port.sendto(b"no sum", (SERVER, 5001))
            # One word of data that makes the sum come out as 0000, so that FFFF must be sent.
            port.setsockopt(socket.SOL_SOCKET, SO_NO_CHECK, 0)
            port.sendto(_balancing(5000, 5001), (SERVER, 5001))
            membership = socket.inet_aton("239.192.0.7") + socket.inet_aton(ALARM)
            port.setsockopt(socket.IPPROTO_IP, socket.IP_ADD_MEMBERSHIP, membership)
            port.setsockopt(socket.IPPROTO_IP, socket.IP_MULTICAST_IF, socket.inet_aton(ALARM))
            port.sendto(b"frost warning", ("239.192.0.7", 5007))
            time.sleep(0.5)

    answering = bench.server.inside(listen)
    with answering:
        bench.alarm.inside(talk)
    time.sleep(0.5)


def _balancing(source: int, destination: int) -> bytes:
    words = struct.unpack("!4H", socket.inet_aton(ALARM) + socket.inet_aton(SERVER))
    total = sum(words) + 17 + 10 + source + destination + 10
    while total >> 16:
        total = (total & 0xFFFF) + (total >> 16)
    return struct.pack("!H", 0xFFFF - total)


def names(bench: Bench) -> None:
    """DNS: busybox's resolver asks for each type, the C library's for an address with EDNS."""
    ask = ["busybox", "nslookup"]
    for kind, name in (
        ("a", "sprinkler.orchard.example"),
        ("a", "water.orchard.example"),
        ("ptr", "33.2.0.192.in-addr.arpa"),
        ("mx", "orchard.example"),
        ("txt", "orchard.example"),
        ("srv", "_alarm._udp.orchard.example"),
        ("a", "nobody.orchard.example"),
        ("aaaa", "sprinkler.orchard.example"),
        ("ptr", "200.2.0.192.in-addr.arpa"),
    ):
        bench.alarm.run(*ask, f"-type={kind}", name, SERVER)
    bench.alarm.run(*ask, "sprinkler.orchard.example", SERVER)
    resolver = bench.folder / "resolv.conf"
    resolver.write_text(f"nameserver {SERVER}\noptions edns0 timeout:1 attempts:1\n")
    # The new file hides the old one in a mount namespace that ends with this command.
    hide = f"mount --bind {resolver} /etc/resolv.conf && exec getent ahostsv4 water.orchard.example"
    bench.alarm.run("unshare", "--mount", "sh", "-c", hide)


def _serve(bench: Bench) -> None:
    site = bench.folder / "site"
    site.mkdir(exist_ok=True)
    (site / "limits.txt").write_text("alarm below -2.0 degrees\n")
    (site / "curve.txt").write_text("".join(f"hour {h}: {h % 7 - 3} degrees\n" for h in range(600)))
    python = ("python3", "-m", "http.server", "--bind", SERVER, "--directory", str(site), "8080")
    bench.server.start(*python)

    def answers() -> bool:
        with socket.socket() as probe:
            return not probe.connect_ex((SERVER, 8080))

    _patience(lambda: bench.server.inside(answers))


def pages(bench: Bench) -> None:
    """HTTP from Python's own server: a small page, a transfer of full frames, no such page."""
    _serve(bench)

    def fetch() -> None:
        for path in ("/limits.txt", "/curve.txt", "/nothing"):
            link = http.client.HTTPConnection(SERVER, 8080, timeout=5)
            link.request("GET", path, headers={"Host": "seed.orchard.example"})
            link.getresponse().read()
            link.close()

    bench.alarm.inside(fetch)


def refused(bench: Bench) -> None:
    """TCP to a port where nobody listens: RST."""

    def knock() -> None:
        with socket.socket() as caller, contextlib.suppress(ConnectionRefusedError):
            caller.settimeout(2)
            caller.connect((SERVER, 8081))

    bench.alarm.inside(knock)


def streams(bench: Bench) -> None:
    """TCP with all that a stack puts in: ECN, urgent, reset, fast open, signature, multipath."""
    for space in (bench.server, bench.alarm):
        space.setting("ipv4/tcp_fastopen", "3")

    def listener(port: int, protocol: int = 0, signed: str = "") -> Callable[[], socket.socket]:
        def make() -> socket.socket:
            handle = socket.socket(socket.AF_INET, socket.SOCK_STREAM, protocol)
            handle.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            if signed:
                handle.setsockopt(socket.IPPROTO_TCP, TCP_MD5SIG, _key(signed))
            handle.bind((SERVER, port))
            handle.settimeout(3)
            if not protocol and not signed:
                handle.setsockopt(socket.IPPROTO_TCP, socket.TCP_FASTOPEN, 5)
            handle.listen(5)
            return handle

        return make

    def exchange(port: int, protocol: int = 0, signed: str = "", fast: bool = False) -> None:
        def call() -> None:
            with socket.socket(socket.AF_INET, socket.SOCK_STREAM, protocol) as caller:
                if not fast:  # the first octets go out with the SYN only on a waiting socket
                    caller.settimeout(3)
                if signed:
                    caller.setsockopt(socket.IPPROTO_TCP, TCP_MD5SIG, _key(signed))
                if fast:
                    caller.sendto(b"quick frost", MSG_FASTOPEN, (SERVER, port))
                else:
                    caller.connect((SERVER, port))
                    caller.send(b"frost -3")
                with waiting.accept()[0] as answer:
                    answer.settimeout(3)
                    answer.recv(100)
                    answer.send(b"urgent!", socket.MSG_OOB) if port == 9001 else answer.send(b"ok")
                    caller.recv(100)
                    if port == 9002:
                        caller.setsockopt(
                            socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0)
                        )
                        caller.close()

        signer = ALARM if signed else ""
        try:
            waiting = bench.server.inside(listener(port, protocol, signer))
        except OSError:
            return  # this kernel was built without it
        with waiting, contextlib.suppress(OSError):
            bench.alarm.inside(call)
        time.sleep(0.1)

    for space in (bench.server, bench.alarm):
        space.setting("ipv4/tcp_ecn", "1")
    exchange(9001)
    for space in (bench.server, bench.alarm):
        space.setting("ipv4/tcp_ecn", "2")
    exchange(9002)
    exchange(9003, fast=True)
    exchange(9003, fast=True)
    exchange(9004, signed=SERVER)
    exchange(9005, protocol=MPTCP)


def _key(peer: str) -> bytes:
    address = struct.pack("!2sH4s", struct.pack("=H", socket.AF_INET), 0, socket.inet_aton(peer))
    return address.ljust(128, b"\0") + struct.pack("=BBHI80s", 0, 0, 7, 0, b"orchard")


def patience(bench: Bench) -> None:
    """TCP with a full window, its probes, a window that opens again, and a keep-alive."""

    def listen() -> socket.socket:
        handle = socket.socket()
        handle.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 2304)
        handle.bind((SERVER, 9010))
        handle.listen()
        handle.settimeout(3)
        return handle

    def call() -> None:
        with socket.socket() as caller:
            caller.setsockopt(socket.SOL_SOCKET, socket.SO_KEEPALIVE, 1)
            caller.setsockopt(socket.IPPROTO_TCP, socket.TCP_KEEPIDLE, 1)
            caller.settimeout(3)
            caller.connect((SERVER, 9010))
            with waiting.accept()[0] as answer:
                answer.settimeout(3)
                caller.send(bytes(range(256)) * 16)
                time.sleep(1)
                left = 4096
                while left:
                    left -= len(answer.recv(4096))
                time.sleep(1.5)

    with bench.server.inside(listen) as waiting, contextlib.suppress(OSError):
        bench.alarm.inside(call)


def older_framing(bench: Bench) -> None:
    """802.3 with LLC and SNAP: these frames are written here and sent by a raw socket."""
    ends = bytes.fromhex("ffffffffffff 00005e005307")
    asks = bytes.fromhex("0001080006040001 00005e005307 c000024d 000000000000 c0000201")
    snap = bytes.fromhex("aaaa03 000000 0806") + asks
    spanning = bytes.fromhex(
        "424203 0000 00 00 00 8000 00005e005307 00000000 8000 00005e005307 8001"
    )
    spanning += bytes.fromhex("0000 1400 0200 0f00")

    def send() -> None:
        with socket.socket(socket.AF_PACKET, socket.SOCK_RAW) as handle:
            handle.bind(("frost0", 0))
            for to, content in ((ends, snap), (bytes.fromhex("0180c2000000") + ends[6:], spanning)):
                handle.send((to + struct.pack("!H", len(content)) + content).ljust(60, b"\0"))

    bench.alarm.inside(send)
    time.sleep(0.2)


def version_6(bench: Bench) -> None:
    """Neighbour discovery, echo, UDP, TCP over IPv6."""
    for space, device, last in ((bench.server, "lan0", "1"), (bench.alarm, "frost0", "77")):
        space.run("ip", "-6", "addr", "add", f"2001:db8::{last}/64", "dev", device, check=True)
    time.sleep(3)
    for size in ("0", "1", "56", "1452", "3000"):
        bench.ping("-6", "-s", size, "2001:db8::1")

    def talk() -> None:
        with socket.socket(socket.AF_INET6, socket.SOCK_DGRAM) as port:
            port.sendto(b"frost", ("2001:db8::1", 7777))
        with socket.socket(socket.AF_INET6) as caller, contextlib.suppress(ConnectionRefusedError):
            caller.settimeout(2)
            caller.connect(("2001:db8::1", 8081))

    bench.alarm.inside(talk)
    time.sleep(0.3)


Scene = Callable[[Bench], None]

EVERYTHING: tuple[Scene, ...] = (
    *(services, lease, another_lease, inform, arp, echo, refusals, datagrams, names),
    *(pages, refused, streams, older_framing),
)
SOME: tuple[Scene, ...] = (services, lease, few_echoes, datagrams, names, pages, refused)
RARE: tuple[Scene, ...] = (services, broadcast_lease, declined, lease, astray, patience)
TAGGED: tuple[Scene, ...] = (services, lease, few_echoes, names, refused)
LOSSY: tuple[Scene, ...] = (services, lease, pages)
VERSION_6: tuple[Scene, ...] = (version_6,)
