"""Record frames of real network stacks: two ends, one link, nothing outside their namespaces.

Run as root, with the Debian packages ``iproute2 iputils-ping dnsmasq-base busybox udhcpc
isc-dhcp-client`` and a Python that has dpkt::

    python vectors/traffic/make.py [FOLDER [FILE]...]

Two network namespaces (the orchard's server and its frost alarm) are joined by a veth pair. A raw
socket in the alarm's namespace takes down every frame of both directions. Whatever was set up is
removed at the end, also after a failure. ``README.md`` beside this file says what is real.
"""

from __future__ import annotations

import contextlib
import ctypes
import fcntl
import os
import socket
import struct
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from decimal import Decimal
from pathlib import Path
from typing import TypeVar

import dpkt
import scenes
from scenes import Bench

T = TypeVar("T")

SERVER_MAC, ALARM_MAC = "00:00:5e:00:53:01", "00:00:5e:00:53:07"
ALL_PROTOCOLS = 3
CLONE_NEWNET = 0x40000000
SOL_PACKET, PACKET_AUXDATA, VLAN_VALID, VLAN_TPID_VALID = 263, 8, 1 << 4, 1 << 6
SO_TIMESTAMPNS = 35
SIOCETHTOOL = 0x8946
# linux/ethtool.h: commands that switch sums (both ways), scatter, segmentation, merging.
OFFLOADS = {"tx": 0x17, "rx": 0x15, "sg": 0x19, "tso": 0x1F, "gso": 0x24, "gro": 0x2C}

Record = tuple[int, bytes]
"""Nanoseconds since the epoch, octets."""


class Namespace:
    """A network namespace of our own, with a loopback and no way out."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.running: list[subprocess.Popen[bytes]] = []

    def command(self, *words: str) -> list[str]:
        """The command line that runs ``words`` inside."""
        return ["ip", "netns", "exec", self.name, *words]

    def run(self, *words: str, timeout: float = 20, check: bool = False) -> str:
        """Run to its end and give what it printed; ``check``: a failure is an error."""
        done = subprocess.run(
            self.command(*words), capture_output=True, text=True, timeout=timeout, check=check
        )
        return done.stdout + done.stderr

    def start(self, *words: str) -> subprocess.Popen[bytes]:
        """Run beside us until ``stop`` or the end."""
        process = subprocess.Popen(
            self.command(*words), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        self.running.append(process)
        return process

    def stop(self) -> None:
        """End what we started here, and only that."""
        for process in self.running:
            process.terminate()
            try:
                process.wait(5)
            except subprocess.TimeoutExpired:
                process.kill()
                process.wait(5)
        self.running.clear()

    def inside(self, work: Callable[[], T]) -> T:
        """Call ``work`` in a thread that has entered the namespace; its sockets stay there."""

        def enter() -> T:
            handle = os.open(f"/run/netns/{self.name}", os.O_RDONLY)
            try:
                if ctypes.CDLL(None, use_errno=True).setns(handle, CLONE_NEWNET):
                    raise OSError(ctypes.get_errno(), "cannot enter the namespace")
            finally:
                os.close(handle)
            return work()

        with ThreadPoolExecutor(1) as pool:
            return pool.submit(enter).result(timeout=60)

    def setting(self, path: str, value: str) -> bool:
        """Write a kernel setting of this namespace; False when the kernel has none of that name."""

        def write() -> bool:
            try:
                Path("/proc/sys/net", path).write_text(value)
            except OSError:
                return False
            return True

        return self.inside(write)


@contextlib.contextmanager
def namespace(role: str) -> Iterator[Namespace]:
    """Make a namespace with a name that is ours alone, and remove it."""
    space = Namespace(f"orchard-{os.getpid()}-{role}")
    subprocess.run(["ip", "netns", "add", space.name], check=True, timeout=10)
    try:
        space.run("ip", "link", "set", "lo", "up", check=True)
        yield space
    finally:
        space.stop()
        subprocess.run(["ip", "netns", "del", space.name], check=False, timeout=10)


def join(first: Namespace, one: str, mac: str, second: Namespace, two: str, other: str) -> None:
    """A veth pair with one end in each namespace."""
    first.run(
        *("ip", "link", "add", one, "address", mac, "type", "veth"),
        *("peer", "name", two, "address", other, "netns", second.name),
        check=True,
    )


def offload(space: Namespace, device: str, on: bool) -> None:
    """Switch everything that leaves work to the adapter."""

    def switch() -> None:
        with socket.socket() as handle:
            for command in OFFLOADS.values():
                value = ctypes.create_string_buffer(struct.pack("II", command, on))
                name = device.encode().ljust(16, b"\0")
                request = struct.pack("16sQ16x", name, ctypes.addressof(value))
                fcntl.ioctl(handle, SIOCETHTOOL, request)

    space.inside(switch)


def raw_socket(space: Namespace, device: str) -> socket.socket:
    """A socket that sees and sends whole frames of one device."""

    def make() -> socket.socket:
        handle = socket.socket(socket.AF_PACKET, socket.SOCK_RAW, socket.htons(ALL_PROTOCOLS))
        handle.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 1 << 22)
        handle.setsockopt(socket.SOL_SOCKET, SO_TIMESTAMPNS, 1)
        handle.setsockopt(SOL_PACKET, PACKET_AUXDATA, 1)
        handle.bind((device, ALL_PROTOCOLS))
        handle.settimeout(0.1)
        return handle

    return space.inside(make)


def receive(handle: socket.socket) -> tuple[int, bytes, bool]:
    """One frame as it crossed the link: time, octets, whether this end sent it.

    The kernel takes a tag out of what it received and hands it over beside the frame; it goes
    back to where it stood.
    """
    octets, notes, _, address = handle.recvmsg(1 << 17, 256)
    stamp = time.time_ns()
    for level, kind, data in notes:
        if (level, kind) == (socket.SOL_SOCKET, SO_TIMESTAMPNS):
            seconds, nanoseconds = struct.unpack("qq", data)
            stamp = seconds * 10**9 + nanoseconds
        elif (level, kind) == (SOL_PACKET, PACKET_AUXDATA):
            status, _, _, _, _, control, identifier = struct.unpack("IIIHHHH", data)
            if status & VLAN_VALID:
                kind_of_tag = identifier if status & VLAN_TPID_VALID else 0x8100
                octets = octets[:12] + struct.pack("!HH", kind_of_tag, control) + octets[12:]
    return stamp, octets, address[2] == socket.PACKET_OUTGOING


class Recorder:
    """Takes down every frame of one device until ``stop``."""

    def __init__(self, space: Namespace, device: str, pad: bool) -> None:
        self.records: list[Record] = []
        self._pad = pad
        self._handle = raw_socket(space, device)
        self._over = threading.Event()
        self._thread = threading.Thread(target=self._listen, daemon=True)
        self._thread.start()

    def _listen(self) -> None:
        while not self._over.is_set():
            # The device goes down for a moment when a scene gives it another address.
            with contextlib.suppress(TimeoutError, OSError):
                stamp, octets, _ = receive(self._handle)
                # A veth pair hands over short frames as they are; a wire would have padded them.
                self.records.append((stamp, octets.ljust(60, b"\0") if self._pad else octets))

    def stop(self) -> list[Record]:
        """Give what was taken down."""
        time.sleep(0.3)
        self._over.set()
        self._thread.join(5)
        self._handle.close()
        return self.records


class Relay:
    """Carries frames between a plain port and a trunk: a tag goes in one way, out the other.

    A lossy one loses some full TCP frames on the way to the trunk.
    """

    def __init__(self, space: Namespace, port: str, trunk: str, control: int, lossy: bool) -> None:
        self._lossy = lossy
        self._full = 0
        self._tag = struct.pack("!HH", 0x8100, control)
        self._ends = raw_socket(space, port), raw_socket(space, trunk)
        self._over = threading.Event()
        self._threads = [
            threading.Thread(target=self._carry, args=way, daemon=True)
            for way in ((0, 1, True), (1, 0, False))
        ]
        for thread in self._threads:
            thread.start()

    def _carry(self, here: int, there: int, tag: bool) -> None:
        while not self._over.is_set():
            with contextlib.suppress(TimeoutError):
                _, octets, ours = receive(self._ends[here])
                if not ours and not (tag and self._loses(octets)):
                    plain = octets[:12] + octets[16:] if not tag else octets
                    tagged = octets[:12] + self._tag + octets[12:]
                    self._ends[there].send(tagged if tag else plain)

    def _loses(self, octets: bytes) -> bool:
        """Every fourth full TCP frame, so that ends have to say what they miss and send again."""
        full = self._lossy and len(octets) == 1514 and octets[23] == socket.IPPROTO_TCP
        self._full += full
        return full and self._full % 4 == 2

    def stop(self) -> None:
        """End both ways."""
        self._over.set()
        for thread in self._threads:
            thread.join(5)
        for end in self._ends:
            end.close()


@contextlib.contextmanager
def bench(
    *, ipv6: bool = False, on: bool = False, trunk: bool = False, lossy: bool = False
) -> Iterator[Bench]:
    """The server and the alarm on one link, with or without a tagged trunk between them."""
    with contextlib.ExitStack() as stack:
        server = stack.enter_context(namespace("server"))
        alarm = stack.enter_context(namespace("alarm"))
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory()))
        middle = stack.enter_context(namespace("relay")) if trunk else None
        for space in filter(None, (server, alarm, middle)):
            quiet = "0" if ipv6 and space is not middle else "1"
            for scope in ("all", "default"):
                space.setting(f"ipv6/conf/{scope}/disable_ipv6", quiet)
        if middle:
            join(server, "lan0", SERVER_MAC, middle, "east", "00:00:5e:00:53:f1")
            join(alarm, "frost0", ALARM_MAC, middle, "west", "00:00:5e:00:53:f2")
            join(middle, "trunk0", "00:00:5e:00:53:f3", middle, "trunk1", "00:00:5e:00:53:f4")
            up = [(middle, d) for d in ("east", "west", "trunk0", "trunk1")]
        else:
            join(server, "lan0", SERVER_MAC, alarm, "frost0", ALARM_MAC)
            up = []
        recorder = None
        for space, device in [(server, "lan0"), (alarm, "frost0"), *up]:
            offload(space, device, on)
            if device == "frost0" and not middle:
                recorder = Recorder(alarm, device, pad=not on)
            space.run("ip", "link", "set", device, "up", check=True)
        if middle:
            for port, end, control in (("east", "trunk0", 0x6064), ("west", "trunk1", 0x0064)):
                stack.callback(Relay(middle, port, end, control, lossy).stop)
            recorder = Recorder(middle, "trunk1", pad=True)
        assert recorder is not None
        stack.callback(recorder.stop)
        server.run("ip", "addr", "add", "192.0.2.1/24", "dev", "lan0", check=True)
        yield Bench(server, alarm, folder, recorder)


def write(path: Path, records: list[Record]) -> None:
    """One capture file; the name's ending says of which form."""
    with path.open("wb") as file:
        if path.suffix == ".pcapng":
            blocks = dpkt.pcapng.Writer(file, snaplen=1 << 17)
            for stamp, octets in records:
                blocks.writepkt(octets, stamp / 1e9)
            return
        nano = path.name in NANOSECONDS
        writer = dpkt.pcap.Writer(file, nano=nano, snaplen=1 << 17)
        for stamp, octets in records:
            # A float holds no nanoseconds of this century; the writer takes a decimal as well.
            whole = stamp if nano else stamp // 1000 * 1000
            writer.writepkt_time(octets, Decimal(whole).scaleb(-9))


NANOSECONDS = ("offload-on.pcap",)
RECORDINGS: dict[str, tuple[dict[str, bool], tuple[scenes.Scene, ...]]] = {
    "offload-off.pcap": ({}, scenes.EVERYTHING),
    "offload-on.pcap": ({"on": True}, scenes.SOME),
    "rare.pcap": ({}, scenes.RARE),
    "tagged.pcapng": ({"trunk": True}, scenes.TAGGED),
    "losses.pcapng": ({"trunk": True, "lossy": True}, scenes.LOSSY),
    "ipv6.pcap": ({"ipv6": True}, scenes.VERSION_6),
}


def main(folder: Path, wanted: Sequence[str]) -> None:
    """The wanted recordings, or all, one after another."""
    for name in wanted or RECORDINGS:
        how, play = RECORDINGS[name]
        with bench(**how) as ends:
            for scene in play:
                scene(ends)
            records = ends.recorder.stop()
        write(folder / name, records)
        print(f"{name}: {len(records)} frames, {sum(len(o) for _, o in records)} octets")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent, sys.argv[2:])
