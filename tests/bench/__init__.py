"""Benchmarks: one module each, with a `run` that measures and returns a report.

A report has `figures` (measured now, on this machine), `targets` and, for each target,
whether it was `met`. Targets are ratios and growths measured within one run, so that a
shared or slow machine does not decide them.
"""
