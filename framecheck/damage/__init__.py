"""What can happen to octets on their way into the buffer, as pure functions; and fills.

One file a mechanism, named as the family is: ``apply`` makes received octets of sent ones,
``undo`` goes back, ``lost`` says what cannot be given back. A place names the octets that a
transfer never writes. Parameters have the names that a law gives them.
"""

from framecheck.damage._mechanism import Mechanism, Place, mechanism, place
from framecheck.damage._orders import ORDERS, Order
from framecheck.damage.fills import Fill, fill

__all__ = ["ORDERS", "Fill", "Mechanism", "Order", "Place", "fill", "mechanism", "place"]
