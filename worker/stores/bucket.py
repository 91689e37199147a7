"""A pack store in a bucket that speaks the S3 protocol.

The protocol shows an object whole or not at all. What was put is read back and proved before
its name is given out. Keys of the bucket come from the client's own environment and files.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Final

import fsspec
from aiohttp import ClientError
from botocore.exceptions import BotoCoreError
from botocore.parsers import ResponseParserError

from schemas.errors import NotNow
from worker.stores import Damaged, name_of, proved

TRIES: Final = 2
"""Of each request; whoever asked tries again later."""

FAULTS: Final = (OSError, BotoCoreError, ClientError, ResponseParserError)
"""How the client says that a bucket cannot be used; it turns HTTP statuses into OSError."""


@dataclass(frozen=True, slots=True)
class BucketStore:
    """Objects under `sha256/ab/abcd...`."""

    url: str
    """`s3://bucket` or `s3://bucket/prefix`."""
    endpoint: str = ""
    """Address of the server; empty: as the client's own environment says."""
    patience: float = 10.0
    """A server silent for so long is away. [s]"""

    def key(self, name: str) -> str:
        """Where the object of that name stands."""
        return f"{self.url.rstrip('/')}/sha256/{name[:2]}/{name}"

    def put(self, content: bytes) -> str:
        """Keep a file; its name is its SHA-256 in hexadecimal.

        Raises:
            NotNow: The bucket cannot be used, or gives back something else.
        """
        name = name_of(content)
        if not self._stands(name):
            with self._asking():
                self._files().pipe_file(self.key(name), content)
            self.get(name)
        return name

    def get(self, name: str) -> bytes:
        """The file of that name, proved.

        Raises:
            Damaged: It is not there, or is not what its name says.
            NotNow: The bucket cannot be used: that says nothing about the file.
        """
        with self._asking(name):
            content: bytes = self._files().cat_file(
                self.key(name),
                max_concurrency=1,  # one request, whose answer says what is missing
            )
        return proved(content, name)

    def tidy(self, *, now_ms: int) -> int:
        """Nothing: an object is there whole or not at all."""
        assert now_ms
        return 0

    def _stands(self, name: str) -> bool:
        try:
            self.get(name)
        except Damaged:
            return False
        return True

    def _files(self) -> fsspec.AbstractFileSystem:
        return connected(os.getpid(), self.endpoint, self.patience)

    @contextmanager
    def _asking(self, name: str = "") -> Iterator[None]:
        try:
            yield
        except FAULTS as no:
            if name and said(no) == "NoSuchKey":
                raise Damaged(name) from no
            msg = f"{self.url} cannot be used: {said(no)} {no}"
            raise NotNow(msg) from no


@lru_cache(maxsize=1)
def connected(_pid: int, endpoint: str, patience: float) -> fsspec.AbstractFileSystem:
    """The client, one a process: it does not survive a fork, and its threads share it."""
    files: Any = fsspec.filesystem(
        "s3",
        skip_instance_cache=True,
        endpoint_url=endpoint or None,
        config_kwargs={
            "connect_timeout": patience,
            "read_timeout": patience,
            "retries": {"total_max_attempts": 1},  # the layer above already tries again
        },
    )
    files.retries = TRIES
    made: fsspec.AbstractFileSystem = files
    return made


def said(no: BaseException) -> str:
    """The protocol's error code, or the kind of error."""
    answer = getattr(no.__cause__, "response", None) or {}
    return str(answer.get("Error", {}).get("Code") or type(no).__name__)
