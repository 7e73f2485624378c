"""What can happen to octets on their way into the buffer, as pure functions; and fills."""

from framecheck.damage.fills import Fill, fill
from framecheck.damage.orders import ORDERS, Order

__all__ = ["ORDERS", "Fill", "Order", "fill"]
