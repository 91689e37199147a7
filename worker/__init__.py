"""All that touches process, network, disk or clock: the doors, the queue, the ledger, the stores.

In: files and commands of the office, its settings. Out: packs and bundles where the crews
find them, and a ledger that says truly what happened. What is computed, services/ computes.
"""
