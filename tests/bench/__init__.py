"""Measurements, side by side in one run: ``python -m tests.bench``. Printed, never asserted."""
