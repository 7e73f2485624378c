"""TCP option kinds.

Source: RFC 9293 3.1 (0, 1, 2); RFC 7323 2.2 and 3.2 (3, 8) and RFC 2018 2 and 3 (4, 5); the rest
of IANA "TCP Option Kind Numbers" from memory, as of 2025.
"""

from framecheck.core.layer import uint
from framecheck.core.series import Option
from framecheck.layers._words import unit


def _shift(value: int) -> str | None:
    """What a shift count multiplies a window by; RFC 7323 2.3 ends at 14."""
    return f"windows count {1 << value} octets" if value < 15 else None


def _blocks(value: bytes) -> str:
    """The edges of the blocks that arrived (RFC 2018 3)."""
    edges = [int.from_bytes(value[i : i + 4], "big") for i in range(0, len(value) // 8 * 8, 4)]
    pairs = zip(edges[::2], edges[1::2], strict=True)
    return ", ".join(f"{left} to {right}" for left, right in pairs)


OPTIONS = {
    0: Option("end_of_option_list"),
    1: Option("no_operation"),
    2: Option("maximum_segment_size", unit("octet"), number=2),
    3: Option("window_scale", _shift, number=1),
    4: Option("sack_permitted"),
    5: Option("sack", _blocks),
    8: Option(
        "timestamps",
        table=(uint("timestamp_value", 32), uint("timestamp_echo_reply", 32)),
        least=8,
    ),
    19: Option("md5_signature"),
    28: Option("user_timeout", number=2),
    29: Option("authentication"),
    30: Option("multipath"),
    34: Option("fast_open_cookie"),
    253: Option("experiment_1"),
    254: Option("experiment_2"),
}
