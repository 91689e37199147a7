"""A bucket seen past the store: by another client of the S3 protocol."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlsplit

import boto3

from worker.stores.bucket import BucketStore


def client_of(endpoint: str) -> Any:  # noqa: ANN401  # the client is made from data and has no type
    """Another client of the same server."""
    return boto3.client("s3", endpoint_url=endpoint, region_name="us-east-1")


def place_of(store: BucketStore, name: str) -> dict[str, str]:
    """Bucket and key under which the store keeps a file."""
    parts = urlsplit(store.key(name))
    return {"Bucket": parts.netloc, "Key": parts.path.lstrip("/")}
