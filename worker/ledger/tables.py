"""The ledger's tables. Times are milliseconds since 1970 in UTC; days are the company's."""

from __future__ import annotations

from typing import Final

from sqlalchemy import (
    BigInteger,
    Column,
    Date,
    ForeignKey,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
)

LEDGER: Final = MetaData(
    naming_convention={  # PostgreSQL's own names, so that a revision can say which one it means
        "pk": "%(table_name)s_pkey",
        "fk": "%(table_name)s_%(column_0_N_name)s_fkey",
        "uq": "%(table_name)s_%(column_0_N_name)s_key",
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    }
)

SHA256: Final = String(64)
KEY: Final = String(40)

submissions = Table(
    "submissions",
    LEDGER,
    Column("id", Integer, primary_key=True),
    Column("raw", LargeBinary, nullable=False),  # verbatim, as it came
    Column("sha256", SHA256, nullable=False),
    Column("content", SHA256, nullable=False),  # of its JSON with keys sorted and no spaces
    Column("received_ms", BigInteger, nullable=False),
)

refusals = Table(
    "refusals",
    LEDGER,
    Column("id", Integer, primary_key=True),
    Column("came_as", String(200), nullable=False),
    Column("sha256", SHA256, nullable=False),
    Column("problems", Text, nullable=False),
    Column("at_ms", BigInteger, nullable=False),
)

jobs = Table(
    "jobs",
    LEDGER,
    Column("id", Integer, primary_key=True),
    Column("submission_id", ForeignKey("submissions.id"), nullable=False),
    Column("job", KEY, nullable=False),
    Column("revision", Integer, nullable=False),
    Column("crew", KEY, nullable=False),
    Column("install_date", Date, nullable=False, index=True),
    Column("issued", String(10), nullable=False),  # day it was accepted, as printed
    Column("state", String(12), nullable=False, index=True),
    Column("wanted", String(12), nullable=False),  # queue that is to make it; '' waits
    Column("attempt", Integer, nullable=False, default=0),  # counts up for ever: the fence
    Column("strikes", Integer, nullable=False, default=0),  # claims without an answer
    Column("lease_until_ms", BigInteger, nullable=False, default=0),
    Column("holder", String(120), nullable=False, default=""),
    Column("not_before_ms", BigInteger, nullable=False, default=0),
    Column("rung_ms", BigInteger, nullable=False, default=0),
    Column("questions", Text, nullable=False, default="[]"),
    Column("problems", Text, nullable=False, default="[]"),
    Column("error", Text, nullable=False, default=""),
    Column("made_from", SHA256, nullable=False, default=""),
    Column("plan", SHA256, nullable=False, default=""),
    Column("pdf", SHA256, nullable=False, default=""),
    Column("code", SHA256, nullable=False, default=""),
    Column("pages", Integer, nullable=False, default=0),
    Column("on_paper", SHA256, nullable=False, default=""),  # its code that a crew may hold
    Column("replaces", SHA256, nullable=False, default=""),  # an older code to be destroyed
    UniqueConstraint("job", "revision"),
)

answers = Table(
    "answers",
    LEDGER,
    Column("id", Integer, primary_key=True),
    Column("job_id", ForeignKey("jobs.id"), nullable=False, index=True),
    Column("question", KEY, nullable=False),
    Column("option", KEY, nullable=False),
    Column("by", String(200), nullable=False),
    Column("why", String(200), nullable=False),
    Column("at_ms", BigInteger, nullable=False),
)

nights = Table(
    "nights",
    LEDGER,
    Column("id", Integer, primary_key=True),
    Column("company", KEY, nullable=False),
    Column("work_date", Date, nullable=False),
    Column("issued", String(10), nullable=False),
    Column("state", String(12), nullable=False),  # open | closed
    Column("runs", Integer, nullable=False),
    Column("opened_ms", BigInteger, nullable=False),
    Column("closed_ms", BigInteger, nullable=False, default=0),
    Column("report", SHA256, nullable=False, server_default=""),  # of its last run, in the store
    UniqueConstraint("company", "work_date"),
)

bundles = Table(
    "bundles",
    LEDGER,
    Column("id", Integer, primary_key=True),
    Column("night_id", ForeignKey("nights.id"), nullable=False),
    Column("crew", KEY, nullable=False),
    Column("state", String(12), nullable=False),  # waiting | ready | made | failed | withdrawn
    Column("attempt", Integer, nullable=False, default=0),
    Column("strikes", Integer, nullable=False, default=0),
    Column("lease_until_ms", BigInteger, nullable=False, default=0),
    Column("holder", String(120), nullable=False, default=""),
    Column("not_before_ms", BigInteger, nullable=False, default=0),
    Column("rung_ms", BigInteger, nullable=False, default=0),
    Column("made_from", SHA256, nullable=False, default=""),
    Column("contents", Text, nullable=False, default="[]"),
    Column("error", Text, nullable=False, default=""),
    Column("pdf", SHA256, nullable=False, default=""),
    Column("code", SHA256, nullable=False, default=""),
    Column("pages", Integer, nullable=False, default=0),
    Column("held", Text, nullable=False, server_default=""),  # what the crew holds, once printed
    UniqueConstraint("night_id", "crew"),
)

due = Table(
    "due",
    LEDGER,
    Column("id", Integer, primary_key=True),
    Column("night_id", ForeignKey("nights.id"), nullable=False),
    Column("bundle_id", ForeignKey("bundles.id"), nullable=False, index=True),
    Column("job_id", ForeignKey("jobs.id"), nullable=False, index=True),
    UniqueConstraint("night_id", "job_id"),
)

deliveries = Table(
    "deliveries",
    LEDGER,
    Column("id", Integer, primary_key=True),
    Column("night_id", ForeignKey("nights.id"), nullable=False),
    Column("target", String(400), nullable=False),
    Column("name", String(200), nullable=False),
    Column("sha256", SHA256, nullable=False),
    Column("at_ms", BigInteger, nullable=False),
    UniqueConstraint("night_id", "target", "name"),
)

events = Table(
    "events",
    LEDGER,
    Column("id", Integer, primary_key=True),
    Column("at_ms", BigInteger, nullable=False),
    Column("thing", String(12), nullable=False),  # job | bundle | night | run | delivery | refusal
    Column("thing_id", Integer, nullable=False, index=True),
    Column("was", String(12), nullable=False),
    Column("now", String(12), nullable=False),
    Column("cause", Text, nullable=False),
    Column("told", Integer, nullable=False, server_default="0", index=True),  # 1: to all receivers
)

codes = Table(
    "codes",
    LEDGER,
    Column("id", Integer, primary_key=True),
    Column("code", KEY, nullable=False, index=True),  # printed on every sheet
    Column("thing", String(12), nullable=False),  # job | bundle | shop
    Column("thing_id", Integer, nullable=False),
    Column("made_ms", BigInteger, nullable=False),
    Column("plan", SHA256, nullable=False, server_default=""),  # behind it, in the store
    UniqueConstraint("thing", "thing_id", "code"),
)

api_keys = Table(
    "api_keys",
    LEDGER,
    Column("id", Integer, primary_key=True),
    Column("name", String(40), nullable=False, unique=True),  # its first part, no secret
    Column("sha256", SHA256, nullable=False),  # of the whole key: 256 random bits need no salt
    Column("owner", String(200), nullable=False),
    Column("role", String(12), nullable=False),  # office | reader
    Column("made_ms", BigInteger, nullable=False),
    Column("revoked_ms", BigInteger, nullable=False, server_default="0"),  # 0: it is good
)

requests = Table(
    "requests",
    LEDGER,
    Column("id", Integer, primary_key=True),
    Column("api_key_id", ForeignKey("api_keys.id"), nullable=False),
    Column("idempotency_key", String(255), nullable=False),
    Column("asked", SHA256, nullable=False),  # of method, address and body
    Column("status", Integer, nullable=False),
    Column("location", String(200), nullable=False),
    Column("answer", Text, nullable=False),
    Column("at_ms", BigInteger, nullable=False),
    UniqueConstraint("api_key_id", "idempotency_key"),
)

locks = Table(
    "locks",
    LEDGER,
    Column("id", Integer, primary_key=True),
    Column("name", String(120), nullable=False, unique=True),
    Column("holder", String(120), nullable=False, default=""),
    Column("fence", Integer, nullable=False, default=0),  # counts up with every holder
    Column("until_ms", BigInteger, nullable=False, default=0),
)

night_runs = Table(
    "night_runs",
    LEDGER,
    Column("id", Integer, primary_key=True),
    Column("company", KEY, nullable=False),
    Column("work_date", Date, nullable=False),
    Column("kind", String(12), nullable=False),  # evening | last | missed | asked
    Column(
        "state", String(12), nullable=False
    ),  # due | running | done | missed | overtaken | failed
    Column("since_ms", BigInteger, nullable=False),  # when it should have started
    Column("until_ms", BigInteger, nullable=False),  # when it stops to wait for packs
    Column("run", Integer, nullable=False, default=0),  # which run of the night it became
    Column("started_ms", BigInteger, nullable=False, default=0),
    Column("ended_ms", BigInteger, nullable=False, default=0),
    Column("strikes", Integer, nullable=False, server_default="0"),  # looks that it broke
    Column("error", Text, nullable=False, server_default=""),  # of the last of them
    UniqueConstraint("company", "work_date", "kind"),
)

rack = Table(
    "rack",
    LEDGER,
    Column("id", Integer, primary_key=True),
    Column("tag", KEY, nullable=False, unique=True),
    Column("system", KEY, nullable=False),
    Column("colour", KEY, nullable=False),
    Column("stock", Text, nullable=False),  # as a plan takes it
    Column("home", KEY, nullable=False),  # job whose bar it is left of; '' put by hand
    Column("home_revision", Integer, nullable=False),
    Column("state", String(12), nullable=False, index=True),  # on rack | set aside | taken | away
    Column("holder", String(60), nullable=False, index=True),  # plan it is set aside for; '' none
    Column("at_ms", BigInteger, nullable=False),
)

offers = Table(
    "offers",
    LEDGER,
    Column("id", Integer, primary_key=True),
    Column("holder", String(60), nullable=False, unique=True),  # the plan they were offered to
    Column("inputs", SHA256, nullable=False),  # of all else that the plan is made from
    Column("stock", Text, nullable=False),  # what was offered, taken or not
    Column("at_ms", BigInteger, nullable=False),
)

outbox = Table(
    "outbox",
    LEDGER,
    Column("id", Integer, primary_key=True),
    Column("kind", String(12), nullable=False),  # webhook | mail
    Column("target", String(400), nullable=False),
    Column("message_id", String(80), nullable=False),  # the same however often it is sent
    Column("body", Text, nullable=False),
    Column("state", String(12), nullable=False, index=True),  # due | sent | given up | gone
    Column("tries", Integer, nullable=False),
    Column("not_before_ms", BigInteger, nullable=False),
    Column("made_ms", BigInteger, nullable=False),
    Column("sent_ms", BigInteger, nullable=False),
    Column("error", Text, nullable=False),
    UniqueConstraint("kind", "target", "message_id"),
)

prints = Table(
    "prints",
    LEDGER,
    Column("id", Integer, primary_key=True),
    Column("night_id", ForeignKey("nights.id"), nullable=False),
    Column("crew", KEY, nullable=False),
    Column("code", SHA256, nullable=False),  # content code of the bundle
    Column("copy", Integer, nullable=False),  # 1, and one more for every reprint told to
    Column("pdf", SHA256, nullable=False),
    Column("state", String(12), nullable=False),  # due | sending | printed | unsure | failed
    Column("printer", String(400), nullable=False),  # the one it went to
    Column("job_number", Integer, nullable=False),  # at that printer
    Column("tries", Integer, nullable=False),
    Column("not_before_ms", BigInteger, nullable=False),
    Column("asked_by", String(200), nullable=False),  # of a reprint
    Column("made_ms", BigInteger, nullable=False),
    Column("done_ms", BigInteger, nullable=False),
    Column("says", Text, nullable=False),  # what the printer or the error said
    UniqueConstraint("crew", "code", "copy"),
)

booking_answers = Table(
    "booking_answers",
    LEDGER,
    Column("id", Integer, primary_key=True),
    Column("night_id", ForeignKey("nights.id"), nullable=False, index=True),
    Column("question", String(100), nullable=False),
    Column("says", Text, nullable=False),  # what was asked about: another matter is asked anew
    Column("option", KEY, nullable=False),
    Column("by", String(200), nullable=False),
    Column("why", String(200), nullable=False),
    Column("at_ms", BigInteger, nullable=False),
)

shop_cuts = Table(
    "shop_cuts",
    LEDGER,
    Column("id", Integer, primary_key=True),
    Column("night_id", ForeignKey("nights.id"), nullable=False),
    Column("made_for", KEY, nullable=False),  # crew, or night
    Column("pool", KEY, nullable=False),  # the same, and the ruler where there are two; '' failed
    Column("made_from", SHA256, nullable=False),
    Column("plan", SHA256, nullable=False),
    Column("pdf", SHA256, nullable=False),
    Column("code", SHA256, nullable=False),
    Column("pages", Integer, nullable=False),
    Column("error", Text, nullable=False),
    UniqueConstraint("night_id", "made_for", "pool"),
)
