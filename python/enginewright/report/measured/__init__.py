"""Blocks for one question of measurement: a doubt, a fit, a pressed joint, a process.

Each function gives a handful of blocks that stand by themselves: a heading, what it comes to in
one line, the figures in mm and inch, the picture, the caution and where it is from. They go on any
paper with `with_blocks`. Nothing is calculated here: every figure is the core's.
"""

from enginewright.report.measured.budget import budget_block
from enginewright.report.measured.fit import fit_block
from enginewright.report.measured.press import press_fit_block
from enginewright.report.measured.process import process_block

__all__ = ["budget_block", "fit_block", "press_fit_block", "process_block"]
