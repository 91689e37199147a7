"""Computation: pure functions from records to records.

In: a validated job with its rail system, code profile and company file.
Out: the finished plan, its pages, its packs. Nothing here knows a clock, a queue,
a store or a network; a stage never imports another stage, `pipeline` joins them.
"""
