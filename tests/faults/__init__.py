"""Faults on real processes: what is struck, how, and the proof afterwards.

A case strikes a small company's night (`house`) at one point; the night is then run again if
the fault ended it, and the auditor reads ledger, store and delivered files. A case holds when
nothing differs, byte for byte, from a night that nobody disturbed.
"""
