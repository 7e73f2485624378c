"""Laws: from many damaged frames to the one sentence behind them.

``Gathered`` collects frames as sent and received; ``infer`` (in ``framecheck.laws.infer``, which
loads numpy) ranks the laws that explain them.
"""

from framecheck.laws.gathered import Earlier, Gathered, Observation, on_the_wire

__all__ = ["Earlier", "Gathered", "Observation", "on_the_wire"]
