"""An engine that moves only multiples of 24 octets: found from what a bench has at first.

That such engines exist is common practice, no source. Lengths 60, 98 and 342 are those of a padded
ARP reply, a usual echo reply and a DHCP reply; what each granule leaves of them is arithmetic.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from typing import Any

import dpkt
import pytest

from framecheck.damage import probes
from tests.machines import tool
from tests.machines.board import Setting, run
from tests.machines.kinds import KINDS
from tests.machines.traffic import recorded
from tests.machines.trial import Trial

ENGINE = KINDS["granule"](24, 0, 0)
DHCP_PORTS = {67, 68}


def first_traffic() -> list[bytes]:
    """The recorded ARP, echo and DHCP frames as the wire carried them, the first of each length."""
    chosen: dict[int, bytes] = {}
    for octets in recorded():
        frame = dpkt.ethernet.Ethernet(octets)
        packet = frame.data
        wanted = isinstance(packet, dpkt.arp.ARP)
        if isinstance(packet, dpkt.ip.IP):
            udp = packet.data
            wanted = isinstance(udp, dpkt.icmp.ICMP)
            wanted |= isinstance(udp, dpkt.udp.UDP) and {udp.sport, udp.dport} == DHCP_PORTS
        if wanted:
            chosen.setdefault(len(octets), octets)
    return list(chosen.values())


def first_law(sent: Sequence[bytes], setting: Setting) -> dict[str, Any]:
    """The first law that the tool names, from log and capture."""
    printed = run(ENGINE, sent, setting, random.Random(1))
    return tool.laws(Trial(ENGINE, list(sent), setting, printed))[0]


def granules(law: dict[str, Any]) -> set[int]:
    """Sizes counted from the frame's start that the law and its rivals name."""
    return {
        x["parameters"]["n"]
        for x in (law, *law["rivals"])
        if x["family"] == "granule" and not x["parameters"]["lead"] + x["parameters"]["trail"]
    }


def left_alike(lengths: Sequence[int]) -> set[int]:
    """Sizes up to 64 under which frames of these lengths end as under 24, by arithmetic."""
    return {n for n in range(2, 65) if all(x // n * n == x // 24 * 24 for x in lengths)}


@pytest.mark.parametrize(
    "setting", [Setting(), Setting("letters"), Setting("odd-parity", False, 2)], ids=str
)
def test_recorded_arp_echo_and_dhcp_give_24_or_its_honest_set(setting: Setting) -> None:
    sent = first_traffic()
    lengths = [len(octets) for octets in sent]
    assert {60, 98} <= set(lengths)
    law = first_law(sent, setting)

    assert law["family"] == "granule"
    assert granules(law) == left_alike(lengths)
    assert law["certain"] == (len(left_alike(lengths)) == 1)
    assert law["fails"]["count"] == 0


def test_three_lengths_leave_three_sizes_and_a_fourth_parts_them() -> None:
    sent = [probes.frame(number, length) for number, length in enumerate((60, 98, 342))]
    law = first_law(sent, Setting())

    assert granules(law) == left_alike((60, 98, 342)) == {16, 24, 48}
    assert not law["certain"]
    length = law["next"]["length"]
    assert len({length // n * n for n in (16, 24, 48)}) == 3


def test_with_86_it_is_24() -> None:
    sent = [probes.frame(number, length) for number, length in enumerate((60, 98, 342, 86))]
    law = first_law(sent, Setting())

    assert (law["family"], granules(law)) == ("granule", {24})
    assert law["certain"]
