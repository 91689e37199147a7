"""The ledger: the truth about every job, night, bundle and delivery, in SQL.

In: submissions, answers, what workers report. Out: what is due, what became of everything,
and why. Every change is one transaction with a row in `events`; a message on the queue is
only a doorbell. The same code serves SQLite and PostgreSQL.

A job's life: received -> (held | refused) -> planned -> packed -> bundled -> delivered;
also withdrawn, replaced (by a higher revision), failed (set aside, the error kept).
"""
