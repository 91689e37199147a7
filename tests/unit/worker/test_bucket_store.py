"""The pack store in a bucket: what is kept, and what is said when the bucket cannot be used."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path
from socket import create_server
from threading import Thread

import pytest

from schemas.errors import BadInput, NotNow
from tests.bucket import client_of, place_of
from worker.bootstrap import Works, choose_store
from worker.health import look
from worker.settings import Settings
from worker.stores import Damaged, name_of
from worker.stores.bucket import BucketStore
from worker.stores.folder import FolderStore

PDF = b"%PDF-1.7 a pack"
LARGE = bytes(range(256)) * (101 * 4096)
"""More than the client sends in one piece (100 MiB)."""


def test_another_client_finds_the_file_under_its_name(bucket: BucketStore) -> None:
    """Two letters deep, as in a folder, so that a folder copied into a bucket is a store."""
    name = bucket.put(PDF)

    place = place_of(bucket, name)
    assert place["Key"].endswith(f"/sha256/{name[:2]}/{name}")
    assert client_of(bucket.endpoint).get_object(**place)["Body"].read() == PDF


def test_a_file_sent_in_pieces_comes_back_whole(bucket: BucketStore) -> None:
    """A large bundle goes up in parts and is one object."""
    assert bucket.get(bucket.put(LARGE)) == LARGE


def test_a_file_that_stands_is_not_sent_again(bucket: BucketStore) -> None:
    """Its time of writing stays."""
    place = place_of(bucket, bucket.put(PDF))
    head = client_of(bucket.endpoint).head_object
    tag = {"x": "kept"}
    client_of(bucket.endpoint).put_object(**place, Body=PDF, Metadata=tag)

    bucket.put(PDF)

    assert head(**place)["Metadata"] == tag


def test_a_bucket_that_is_not_there_is_not_a_lost_file(bucket: BucketStore) -> None:
    """A misspelt bucket must not have every pack made again."""
    elsewhere = BucketStore("s3://no-such-bucket", bucket.endpoint)

    for use in (lambda: elsewhere.get("0" * 64), lambda: elsewhere.put(PDF)):
        with pytest.raises(NotNow, match="s3://no-such-bucket cannot be used: NoSuchBucket") as no:
            use()
        assert not isinstance(no.value, Damaged)


@pytest.mark.usefixtures("bucket_keys")
@pytest.mark.parametrize(
    ("status", "code"), [(503, "SlowDown"), (500, "InternalError"), (403, "AccessDenied")]
)
def test_a_server_that_refuses_is_not_a_lost_file(status: int, code: str) -> None:
    """Whatever it says, the files may be well; the code is passed on."""
    with refusing(status, code) as endpoint:
        store = BucketStore("s3://packs", endpoint, patience=2)

        for use in (lambda: store.get("0" * 64), lambda: store.put(PDF)):
            with pytest.raises(NotNow, match=code) as no:
                use()
            assert not isinstance(no.value, Damaged)


@pytest.mark.usefixtures("bucket_keys")
def test_a_server_that_never_answers_is_given_up() -> None:
    """It takes the call and says nothing."""
    with create_server(("127.0.0.1", 0)) as silent:
        store = BucketStore("s3://packs", f"http://127.0.0.1:{silent.getsockname()[1]}", 0.2)

        with pytest.raises(NotNow, match="s3://packs cannot be used: ReadTimeoutError"):
            store.put(PDF)


@pytest.mark.usefixtures("bucket_keys")
def test_a_server_that_is_away_is_said() -> None:
    """Nobody listens at its address any more."""
    with create_server(("127.0.0.1", 0)) as gone:
        endpoint = f"http://127.0.0.1:{gone.getsockname()[1]}"

    with pytest.raises(NotNow, match="s3://packs cannot be used: EndpointConnectionError"):
        BucketStore("s3://packs", endpoint).put(PDF)


def test_without_keys_nothing_is_kept(bucket: BucketStore, bucket_keys: Path) -> None:
    """The file with the keys is gone."""
    bucket_keys.unlink()

    with pytest.raises(NotNow, match="NoCredentialsError"):
        bucket.put(PDF)


def test_health_uses_the_bucket(works: Works, bucket: BucketStore) -> None:
    """It writes and reads it; a bucket that is not there makes the store unwell."""
    elsewhere = BucketStore("s3://no-such-bucket", bucket.endpoint)

    parts = {
        store.url: {part.what: part.well for part in look(replace(works, store=store))}
        for store in (bucket, elsewhere)
    }

    assert [parts[store.url]["store"] for store in (bucket, elsewhere)] == [True, False]
    client_of(bucket.endpoint).head_object(**place_of(bucket, name_of(b"health")))


def test_the_settings_choose_folder_or_bucket(tmp_path: Path) -> None:
    """A path stays what it was."""
    address = {"DAWNPACK_STORE": "s3://packs/yard", "DAWNPACK_STORE_ENDPOINT": "http://here:9000"}
    bucket = Settings.read(address)

    assert choose_store(Settings(store=tmp_path)) == FolderStore(tmp_path)
    assert choose_store(bucket) == BucketStore("s3://packs/yard", "http://here:9000")
    assert Settings.read(bucket.environ()).store == bucket.store


@pytest.mark.parametrize("address", ["gs://packs", "s3://", "s3:///yard", "https://packs"])
def test_an_address_that_is_no_bucket_is_refused(address: str) -> None:
    """It is not taken for a folder of that name."""
    with pytest.raises(BadInput, match="DAWNPACK_STORE") as no:
        Settings.read({"DAWNPACK_STORE": address})

    assert any("s3://bucket/prefix" in problem.says for problem in no.value.problems)


def test_a_bucket_without_its_client_names_the_mend(monkeypatch: pytest.MonkeyPatch) -> None:
    """A plain installation has no client for buckets, and needs none for a folder."""
    monkeypatch.delitem(sys.modules, "worker.stores.bucket")
    monkeypatch.setitem(sys.modules, "fsspec", None)

    with pytest.raises(BadInput, match="needs the extra `s3`") as no:
        choose_store(Settings(store="s3://packs"))

    assert "pip install 'dawnpack[s3]'" in no.value.problems[0].mend


@contextmanager
def refusing(status: int, code: str) -> Iterator[str]:
    """A server that answers every request with one error of the protocol."""

    class Refuses(BaseHTTPRequestHandler):
        def answer(self) -> None:
            self.rfile.read(int(self.headers.get("Content-Length", 0)))
            body = f"<Error><Code>{code}</Code><Message>no</Message></Error>".encode()
            self.send_response(status)
            self.send_header("Content-Length", str(len(body)))
            self.end_headers()
            self.wfile.write(body)

        do_GET = do_PUT = answer  # noqa: N815  # the server's names

        def log_message(self, *_: object) -> None:
            """Say nothing."""

    with HTTPServer(("127.0.0.1", 0), Refuses) as server:
        thread = Thread(target=server.serve_forever)
        thread.start()
        yield f"http://127.0.0.1:{server.server_address[1]}"
        server.shutdown()
        thread.join()
