"""Verdicts: one file a checksum or length; its name begins with the layer that carries it."""
