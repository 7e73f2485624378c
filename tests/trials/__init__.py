"""Trials: programs that judge the reader by many seeded logs; run one with ``python -m``."""
