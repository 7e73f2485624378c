"""framecheck: from a pasted console log to the octets of the frame that are wrong.

``check`` reads and judges a log, ``read`` only reads it, ``decode`` takes octets apart. All of
them are pure: text and octets in, values out; damage is a value, never an exception.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from framecheck.core.version import VERSION

if TYPE_CHECKING:
    from framecheck.core.finding import Host
    from framecheck.core.frame import Dump
    from framecheck.core.layer import Layer
    from framecheck.core.sheet import Sheet

__version__ = VERSION
__all__ = ["__version__", "check", "decode", "read"]

# The three functions import what they need when they are called, so that a program which only
# wants one of them (or the command line's help) does not wait for the others.


def check(
    text: str,
    *,
    name: str = "text",
    sent: str | None = None,
    fill: str | None = None,
    host: Host | None = None,
    strict: bool = False,
) -> Sheet:
    """Read a console log, decode and judge every frame in it.

    Args:
        text: the log, any layout; characters are code points, lines end at LF, CRLF or CR.
        name: how reports name the log.
        sent: path of a capture (pcap, pcapng) or hex log of what was sent, or None.
        fill: what the receive buffer held before: ``letters``, ``counting``, ``zero``,
            ``odd-parity``, ``constant:a5``, hex digits, or a file's path.
        host: who the board is, as far as known; the rest is assumed to fit.
        strict: whether findings of certainty ``suspicious`` damage a frame.

    Returns:
        The sheet: examined frames in the order of the log (octet ranges are half-open and count
        from the frame's first octet; lines and columns count from 1), and totals.

    Raises:
        framecheck.core.problem.Problem: ``sent`` or ``fill`` cannot be used; one clear line.
    """
    from framecheck.core.finding import Host
    from framecheck.core.sheet import Sheet
    from framecheck.run import Settings, Text, check_inputs

    run = check_inputs([Text(name, text)], Settings(sent, fill, host or Host(), strict))
    frames = tuple(run)
    return Sheet(frames, run.totals())


def read(text: str) -> list[Dump]:
    """The dumps of a console log, in its order, not judged.

    Args:
        text: the log, any layout.

    Returns:
        One ``Dump`` a printed frame: its octets, where each of them stands in the log
        (``dump.places.at(octet)``), its layout, and what is not sure about it.
    """
    from framecheck.run import read_text

    return read_text(text)


def decode(octets: bytes, starts_at: str = "ethernet") -> tuple[Layer, ...]:
    """The layers of a frame, in the order of its octets. Takes any octets.

    Args:
        octets: the frame from its destination address on, without FCS.
        starts_at: what octet 0 belongs to: ``ethernet``, ``ipv4``, ``ipv6``, ``arp``, ``ppp``
            or ``hdlc`` (after unescaping); anything else is payload from end to end.

    Returns:
        Layers whose fields join bit for bit from the first octet to the last.
    """
    from framecheck.layers import decode_frame

    return decode_frame(octets, starts_at)
