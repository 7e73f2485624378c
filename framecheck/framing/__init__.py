"""Framing: a dump in, a frame out: where it starts and what a driver left around it."""

from framecheck.framing._shape import Shape
from framecheck.framing.parts import gathered
from framecheck.framing.start import STRONG, Known, Start, content, starts
from framecheck.framing.unwrap import Traits, learn, unwrap

__all__ = [
    "STRONG",
    "Known",
    "Shape",
    "Start",
    "Traits",
    "content",
    "gathered",
    "learn",
    "starts",
    "unwrap",
]
