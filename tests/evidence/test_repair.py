"""A frame whose octets came in another order is healed, and the sums prove it."""

from pathlib import Path

import dpkt
import pytest

import framecheck
from framecheck.damage import ORDERS
from framecheck.evidence import reordered

TRAFFIC = Path(__file__).parents[2] / "vectors" / "traffic" / "offload-off.pcap"


def frames() -> list[bytes]:
    with TRAFFIC.open("rb") as file:
        return [octets for _, octets in dpkt.pcap.Reader(file)]


FRAMES = frames()
SUMMED = [f for f in FRAMES if f[12:14] == b"\x08\x00"]


@pytest.mark.parametrize("order", ORDERS, ids=lambda o: o.name)
def test_an_order_undoes_itself(order) -> None:  # type: ignore[no-untyped-def]
    for octets in FRAMES[:40]:
        assert order.change(order.change(octets)) == octets
        assert len(order.change(octets)) == len(octets)


@pytest.mark.parametrize("order", ORDERS, ids=lambda o: o.name)
def test_every_summed_frame_is_healed_of_it(order) -> None:  # type: ignore[no-untyped-def]
    for octets in SUMMED:
        repair = reordered(order.change(octets))
        assert repair is not None
        assert repair.octets == octets
        assert repair.says.startswith(order.says)


def test_sound_frames_are_not_repaired() -> None:
    for octets in FRAMES:
        assert reordered(octets) is None


def test_the_check_says_what_happened_and_which_octets_it_changed() -> None:
    sent = SUMMED[0]
    octets = ORDERS[0].change(sent)
    rows = [f"{i:04x}: {octets[i : i + 16].hex(' ')}" for i in range(0, len(octets), 16)]
    text = f"net: received {len(octets)} octets\n" + "\n".join(rows) + "\nnet: end\n"

    (frame,) = framecheck.check(text).frames

    assert frame.state == "damaged"
    assert frame.repair is not None
    assert frame.repair.octets == sent
    wrong = {i for a, b in frame.wrong for i in range(a, b)}
    assert wrong == {i for i, (a, b) in enumerate(zip(octets, sent, strict=True)) if a != b}
