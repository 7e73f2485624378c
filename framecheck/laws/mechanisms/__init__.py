"""The shelf of mechanisms: one file a family of transfer faults."""
