"""Settings: read once from the environment, all of them named `DAWNPACK_...`.

With none set, everything stands in one folder and the broker is started as needed.
A name or value that cannot be meant is refused, all of them at once.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from difflib import get_close_matches
from pathlib import Path
from typing import Annotated, Final, Literal, Self

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationError

from schemas.errors import BadInput, Problem

PREFIX: Final = "DAWNPACK_"
FOR_TESTS: Final = "DAWNPACK_TEST_"


def _folder(value: object) -> object:
    if isinstance(value, str) and "://" in value:
        msg = "neither a folder nor s3://bucket or s3://bucket/prefix"
        raise ValueError(msg)
    return value


Bucket = Annotated[str, Field(pattern=r"^s3://[^/\s]+(/\S*)?$")]
Folder = Annotated[Path, BeforeValidator(_folder)]


class Settings(BaseModel):
    """How this installation is set up; `DAWNPACK_` and the field in capitals sets a field."""

    model_config = ConfigDict(frozen=True, extra="forbid", use_attribute_docstrings=True)

    data: Path = Path("dawnpack-data")
    """Folder of ledger, store, logs and embedded broker."""
    ledger_url: str = ""
    """SQLAlchemy URL of the ledger; empty: SQLite in the data folder."""
    broker_url: str = ""
    """Redis-protocol server; empty: one is started in the data folder."""
    store: Annotated[Bucket | Folder | None, Field(union_mode="left_to_right")] = None
    """The pack store: a folder, or `s3://bucket/prefix`; none: a folder in the data folder."""
    store_endpoint: Annotated[str, Field(pattern=r"^(https?://\S+)?$")] = ""
    """Address of the bucket's server; empty: as the client's own environment says."""
    library: Path | None = None
    """Folder of company file, rail systems and code profiles; none: the demo's."""
    receivers: Path | None = None
    """File that lists who is told by webhook (`dawnpack schema receivers`); none: nobody."""
    smtp_url: str = ""
    """Mail server: `smtp://`, `smtps://` or `smtp+starttls://`, user@host:port; empty: no mail."""
    smtp_password: Path | None = None
    """File with the mail user's password."""
    mail_from: str = "dawnpack@localhost"
    """Sender of mail."""
    workers: Annotated[int, Field(ge=1, le=256)] = 2
    """Packs made at the same time on this machine."""
    lease: Annotated[float, Field(ge=1, le=3600)] = 60.0
    """A worker silent for so long has lost its job to the next one. [s]"""
    requests_a_minute: Annotated[int, Field(ge=1, le=1_000_000)] = 600
    """Requests that each key, or each address without one, may make of the HTTP service."""
    log: Literal["auto", "json", "console"] = "auto"
    """Auto: console on a terminal, JSON lines elsewhere."""
    log_level: Literal["DEBUG", "INFO", "WARNING", "ERROR"] = "INFO"

    @classmethod
    def read(cls, environ: Mapping[str, str] | None = None) -> Self:
        """Read the settings.

        Args:
            environ: Names and values; none: this process's environment.

        Raises:
            BadInput: Unknown names, or values out of range; all at once.
        """
        given = os.environ if environ is None else environ
        try:
            return cls.model_validate(
                {
                    name.removeprefix(PREFIX).lower(): value
                    for name, value in sorted(given.items())
                    if name.startswith(PREFIX) and not name.startswith(FOR_TESTS) and value
                }
            )
        except ValidationError as no:
            raise BadInput([_problem(dict(error)) for error in no.errors()]) from no

    @property
    def ledger(self) -> str:
        """The ledger's URL."""
        return self.ledger_url or f"sqlite:///{self.data.resolve() / 'ledger.sqlite'}"

    @property
    def packs(self) -> Path:
        """The pack store's folder, unless it is a bucket."""
        return self.store if isinstance(self.store, Path) else self.data / "store"

    @property
    def logs(self) -> Path:
        """Where worker processes started from here write their logs."""
        return self.data / "logs"

    @property
    def nights(self) -> Path:
        """Where the schedule delivers: a folder a work day."""
        return self.data / "nights"

    def environ(self) -> dict[str, str]:
        """The same settings as environment, for a process started from here."""
        fields = self.model_dump(exclude_none=True)
        return {
            PREFIX + name.upper(): str(value.resolve() if isinstance(value, Path) else value)
            for name, value in fields.items()
        }


def _problem(error: dict[str, object]) -> Problem:
    name = PREFIX + str(error["loc"][0]).upper()  # type: ignore[index]
    known = [PREFIX + field.upper() for field in Settings.model_fields]
    near = get_close_matches(name, known, n=1)
    if error["type"] == "extra_forbidden":
        says, mend = "no such setting", f"did you mean {near[0]}?" if near else ", ".join(known)
    else:
        says, mend = str(error["msg"]), "see `dawnpack settings`"
    return Problem(pointer=f"/{name}", value=str(error["input"])[:80], says=says, mend=mend)
