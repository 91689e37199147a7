"""How the ledger's tables came to be as they are: one numbered revision a change.

In: a ledger at an older revision. Out: the same ledger at a newer one, or back; in one
transaction, on SQLite and PostgreSQL alike. Alembic runs them.
"""
