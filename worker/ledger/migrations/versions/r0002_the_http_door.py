"""For the HTTP door: keys, answered requests, every code ever printed, nights' reports."""

from __future__ import annotations

from typing import Any, Final

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

EMPTY: Final[dict[str, Any]] = {"nullable": False, "server_default": ""}
ZERO: Final[dict[str, Any]] = {"nullable": False, "server_default": "0"}


def upgrade() -> None:
    """Add the tables and columns, and the codes that are on paper already."""
    op.add_column("nights", sa.Column("report", sa.String(length=64), **EMPTY))
    op.create_table(
        "codes",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(length=40), nullable=False),
        sa.Column("thing", sa.String(length=12), nullable=False),
        sa.Column("thing_id", sa.Integer(), nullable=False),
        sa.Column("made_ms", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="codes_pkey"),
        sa.UniqueConstraint("thing", "thing_id", "code", name="codes_thing_thing_id_code_key"),
    )
    op.create_index("ix_codes_code", "codes", ["code"], unique=False)
    for thing, table, column in (
        ("job", "jobs", "code"),
        ("job", "jobs", "on_paper"),
        ("bundle", "bundles", "code"),
    ):
        op.execute(
            "INSERT INTO codes (code, thing, thing_id, made_ms) "  # noqa: S608  # names from above
            f"SELECT {column}, '{thing}', id, 0 FROM {table} AS made WHERE {column} <> '' "
            "AND NOT EXISTS (SELECT 1 FROM codes WHERE "
            f"codes.thing = '{thing}' AND codes.thing_id = made.id AND codes.code = made.{column})"
        )
    op.create_table(
        "api_keys",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=40), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("owner", sa.String(length=200), nullable=False),
        sa.Column("role", sa.String(length=12), nullable=False),
        sa.Column("made_ms", sa.BigInteger(), nullable=False),
        sa.Column("revoked_ms", sa.BigInteger(), **ZERO),
        sa.PrimaryKeyConstraint("id", name="api_keys_pkey"),
        sa.UniqueConstraint("name", name="api_keys_name_key"),
    )
    op.create_table(
        "requests",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("api_key_id", sa.Integer(), nullable=False),
        sa.Column("idempotency_key", sa.String(length=255), nullable=False),
        sa.Column("asked", sa.String(length=64), nullable=False),
        sa.Column("status", sa.Integer(), nullable=False),
        sa.Column("location", sa.String(length=200), nullable=False),
        sa.Column("answer", sa.Text(), nullable=False),
        sa.Column("at_ms", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(["api_key_id"], ["api_keys.id"], name="requests_api_key_id_fkey"),
        sa.PrimaryKeyConstraint("id", name="requests_pkey"),
        sa.UniqueConstraint(
            "api_key_id", "idempotency_key", name="requests_api_key_id_idempotency_key_key"
        ),
    )


def downgrade() -> None:
    """Take them away; what was printed before can no longer be told from a stranger's sheet."""
    op.drop_table("requests")
    op.drop_table("api_keys")
    op.drop_index("ix_codes_code", table_name="codes")
    op.drop_table("codes")
    op.drop_column("nights", "report")
