"""Boards as machines: FIFOs, transfer engines, buses, caches and rings that break frames.

Nothing here uses the code that is tested, but for the doors through which the table asks it.
"""
