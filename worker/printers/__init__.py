"""Printers: a bundle to paper, once a content code, with a receipt.

In: bundles of a closed last run. Out: sheets, and for each bundle what the printer said. A
bundle of which it is not known whether it was printed is not sent again: a human is asked.
"""
