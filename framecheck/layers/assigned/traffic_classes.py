"""Differentiated services code points, and the two bits of explicit congestion notification.

Source: RFC 2474 4.2 (class selectors) and RFC 3168 5; assured and expedited forwarding (RFC 2597,
3246, 5865, 8622) from memory, as of 2025.
"""

CODE_POINTS = {
    0: "default",
    1: "lower effort",
    **{8 * n: f"class selector {n}" for n in range(1, 8)},
    **{
        8 * kind + 2 * drop: f"assured forwarding {kind}{drop}"
        for kind in range(1, 5)
        for drop in range(1, 4)
    },
    44: "voice admit",
    46: "expedited forwarding",
}

CONGESTION = {
    0: "not capable",
    1: "capable, ECT(1)",
    2: "capable, ECT(0)",
    3: "congestion experienced",
}
