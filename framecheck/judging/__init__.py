"""Layers to verdicts, findings and fate: what is wrong with a frame, and who says so.

A rule or a verdict stands in a file named after the layer it speaks of, and is loaded when that
layer first occurs in a frame.
"""

from framecheck.judging.answered import answered
from framecheck.judging.device import around
from framecheck.judging.fate import STEPS, fate
from framecheck.judging.judge import all_rules, judge, rule_named
from framecheck.judging.past import Past

__all__ = ["STEPS", "Past", "all_rules", "answered", "around", "fate", "judge", "rule_named"]
