"""Octets to layers, one file a protocol; and layers to octets, from the same tables."""

from framecheck.layers._build import build
from framecheck.layers._stack import decode_frame, kind, kinds, summary

__all__ = ["build", "decode_frame", "kind", "kinds", "summary"]
