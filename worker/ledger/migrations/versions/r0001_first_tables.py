"""The first tables: submissions, jobs, answers, nights, bundles, deliveries, events."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "events",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("at_ms", sa.BigInteger(), nullable=False),
        sa.Column("thing", sa.String(length=12), nullable=False),
        sa.Column("thing_id", sa.Integer(), nullable=False),
        sa.Column("was", sa.String(length=12), nullable=False),
        sa.Column("now", sa.String(length=12), nullable=False),
        sa.Column("cause", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="events_pkey"),
    )
    op.create_index("ix_events_thing_id", "events", ["thing_id"], unique=False)
    op.create_table(
        "nights",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("company", sa.String(length=40), nullable=False),
        sa.Column("work_date", sa.Date(), nullable=False),
        sa.Column("issued", sa.String(length=10), nullable=False),
        sa.Column("state", sa.String(length=12), nullable=False),
        sa.Column("runs", sa.Integer(), nullable=False),
        sa.Column("opened_ms", sa.BigInteger(), nullable=False),
        sa.Column("closed_ms", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="nights_pkey"),
        sa.UniqueConstraint("company", "work_date", name="nights_company_work_date_key"),
    )
    op.create_table(
        "refusals",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("came_as", sa.String(length=200), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("problems", sa.Text(), nullable=False),
        sa.Column("at_ms", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="refusals_pkey"),
    )
    op.create_table(
        "submissions",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("raw", sa.LargeBinary(), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("content", sa.String(length=64), nullable=False),
        sa.Column("received_ms", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="submissions_pkey"),
    )
    op.create_table(
        "bundles",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("night_id", sa.Integer(), nullable=False),
        sa.Column("crew", sa.String(length=40), nullable=False),
        sa.Column("state", sa.String(length=12), nullable=False),
        sa.Column("attempt", sa.Integer(), nullable=False),
        sa.Column("strikes", sa.Integer(), nullable=False),
        sa.Column("lease_until_ms", sa.BigInteger(), nullable=False),
        sa.Column("holder", sa.String(length=120), nullable=False),
        sa.Column("not_before_ms", sa.BigInteger(), nullable=False),
        sa.Column("rung_ms", sa.BigInteger(), nullable=False),
        sa.Column("made_from", sa.String(length=64), nullable=False),
        sa.Column("contents", sa.Text(), nullable=False),
        sa.Column("error", sa.Text(), nullable=False),
        sa.Column("pdf", sa.String(length=64), nullable=False),
        sa.Column("code", sa.String(length=64), nullable=False),
        sa.Column("pages", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["night_id"], ["nights.id"], name="bundles_night_id_fkey"),
        sa.PrimaryKeyConstraint("id", name="bundles_pkey"),
        sa.UniqueConstraint("night_id", "crew", name="bundles_night_id_crew_key"),
    )
    op.create_table(
        "deliveries",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("night_id", sa.Integer(), nullable=False),
        sa.Column("target", sa.String(length=400), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("at_ms", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(["night_id"], ["nights.id"], name="deliveries_night_id_fkey"),
        sa.PrimaryKeyConstraint("id", name="deliveries_pkey"),
        sa.UniqueConstraint(
            "night_id", "target", "name", name="deliveries_night_id_target_name_key"
        ),
    )
    op.create_table(
        "jobs",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("submission_id", sa.Integer(), nullable=False),
        sa.Column("job", sa.String(length=40), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("crew", sa.String(length=40), nullable=False),
        sa.Column("install_date", sa.Date(), nullable=False),
        sa.Column("issued", sa.String(length=10), nullable=False),
        sa.Column("state", sa.String(length=12), nullable=False),
        sa.Column("wanted", sa.String(length=12), nullable=False),
        sa.Column("attempt", sa.Integer(), nullable=False),
        sa.Column("strikes", sa.Integer(), nullable=False),
        sa.Column("lease_until_ms", sa.BigInteger(), nullable=False),
        sa.Column("holder", sa.String(length=120), nullable=False),
        sa.Column("not_before_ms", sa.BigInteger(), nullable=False),
        sa.Column("rung_ms", sa.BigInteger(), nullable=False),
        sa.Column("questions", sa.Text(), nullable=False),
        sa.Column("problems", sa.Text(), nullable=False),
        sa.Column("error", sa.Text(), nullable=False),
        sa.Column("made_from", sa.String(length=64), nullable=False),
        sa.Column("plan", sa.String(length=64), nullable=False),
        sa.Column("pdf", sa.String(length=64), nullable=False),
        sa.Column("code", sa.String(length=64), nullable=False),
        sa.Column("pages", sa.Integer(), nullable=False),
        sa.Column("on_paper", sa.String(length=64), nullable=False),
        sa.Column("replaces", sa.String(length=64), nullable=False),
        sa.ForeignKeyConstraint(
            ["submission_id"], ["submissions.id"], name="jobs_submission_id_fkey"
        ),
        sa.PrimaryKeyConstraint("id", name="jobs_pkey"),
        sa.UniqueConstraint("job", "revision", name="jobs_job_revision_key"),
    )
    op.create_index("ix_jobs_install_date", "jobs", ["install_date"], unique=False)
    op.create_index("ix_jobs_state", "jobs", ["state"], unique=False)
    op.create_table(
        "answers",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("question", sa.String(length=40), nullable=False),
        sa.Column("option", sa.String(length=40), nullable=False),
        sa.Column("by", sa.String(length=200), nullable=False),
        sa.Column("why", sa.String(length=200), nullable=False),
        sa.Column("at_ms", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name="answers_job_id_fkey"),
        sa.PrimaryKeyConstraint("id", name="answers_pkey"),
    )
    op.create_index("ix_answers_job_id", "answers", ["job_id"], unique=False)
    op.create_table(
        "due",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("night_id", sa.Integer(), nullable=False),
        sa.Column("bundle_id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["bundle_id"], ["bundles.id"], name="due_bundle_id_fkey"),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name="due_job_id_fkey"),
        sa.ForeignKeyConstraint(["night_id"], ["nights.id"], name="due_night_id_fkey"),
        sa.PrimaryKeyConstraint("id", name="due_pkey"),
        sa.UniqueConstraint("night_id", "job_id", name="due_night_id_job_id_key"),
    )
    op.create_index("ix_due_bundle_id", "due", ["bundle_id"], unique=False)
    op.create_index("ix_due_job_id", "due", ["job_id"], unique=False)


def downgrade() -> None:
    """Take the tables away, and all that is in them."""
    op.drop_index("ix_due_job_id", table_name="due")
    op.drop_index("ix_due_bundle_id", table_name="due")
    op.drop_table("due")
    op.drop_index("ix_answers_job_id", table_name="answers")
    op.drop_table("answers")
    op.drop_index("ix_jobs_state", table_name="jobs")
    op.drop_index("ix_jobs_install_date", table_name="jobs")
    op.drop_table("jobs")
    op.drop_table("deliveries")
    op.drop_table("bundles")
    op.drop_table("submissions")
    op.drop_table("refusals")
    op.drop_table("nights")
    op.drop_index("ix_events_thing_id", table_name="events")
    op.drop_table("events")
