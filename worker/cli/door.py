"""The HTTP door: serving, and the keys that open it."""

from __future__ import annotations

from typing import Annotated

import typer

from worker import clock
from worker.bootstrap import build
from worker.cli.one_job import Json
from worker.cli.showing import err, out, show_json, show_table
from worker.ledger.api_keys import Role, every_key, make_key, revoke
from worker.logs import set_up
from worker.settings import Settings

keys = typer.Typer(no_args_is_help=True, help="Keys of the HTTP service.")


def serve(
    host: Annotated[str, typer.Option(help="Address to listen at.")] = "127.0.0.1",
    port: Annotated[int, typer.Option(min=0, max=65535, help="Port to listen at.")] = 8480,
    *,
    workers: Annotated[
        int | None,
        typer.Option(min=0, max=256, help="Packs made at a time here; 0: workers run elsewhere."),
    ] = None,
) -> None:
    """Answer the office's systems over HTTP until stopped; /openapi.json describes it.

    With no DAWNPACK_BROKER_URL it also runs workers and the schedule, so that one command is a
    whole installation. It speaks plain HTTP: put a proxy with TLS before it.

    Example: dawnpack key add "office system" && dawnpack serve
    """
    from worker.api import serving  # noqa: PLC0415  # slow to load; other commands need none of it

    settings = Settings.read()
    set_up(settings)
    works = build(settings)
    with works.ledger.reading() as tx:
        if not any(key.revoked_ms == 0 for key in every_key(tx)):
            err.print('there is no key yet: dawnpack key add "WHO"', style="yellow")
    here = 0 if settings.broker_url else settings.workers
    serving.serve(works, host=host, port=port, size=here if workers is None else workers)


@keys.command()
def add(
    owner: Annotated[str, typer.Argument(help="Who will use it; goes on record.")],
    *,
    role: Annotated[
        Role, typer.Option(help="Office may change things; reader may look.")
    ] = "office",
) -> None:
    """Make a key and print it: the only time that it is shown.

    Example: dawnpack key add "morning screen" --role reader
    """
    works = build(Settings.read())
    with works.ledger.writing() as tx:
        key = make_key(tx, owner=owner, role=role)
    out.print(key)


@keys.command("list")
def list_keys(*, as_json: Json = False) -> None:
    """List the keys, without their secrets.

    Example: dawnpack key list
    """
    works = build(Settings.read())
    with works.ledger.reading() as tx:
        rows = [
            {
                "key": key.name,
                "owner": key.owner,
                "role": key.role,
                "made": clock.text(key.made_ms),
                "revoked": clock.text(key.revoked_ms) if key.revoked_ms else "",
            }
            for key in every_key(tx)
        ]
    if as_json:
        show_json(rows)
    else:
        heads = ("key", "owner", "role", "made", "revoked")
        show_table("Keys", heads, (tuple(row.values()) for row in rows))


@keys.command("revoke")
def revoke_key(
    name: Annotated[str, typer.Argument(help="The key's name: the part after dawnpack_.")],
) -> None:
    """End a key at once; what came by it stays.

    Example: dawnpack key revoke 3f9a01c2
    """
    works = build(Settings.read())
    with works.ledger.writing() as tx:
        ended = revoke(tx, name)
    out.print(f"key {name} of {ended.owner} is revoked")
