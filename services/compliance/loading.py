"""The code profiles that ship with Dawnpack, read once from their files."""

from __future__ import annotations

import json
import tomllib
from functools import cache
from importlib.resources import files

from schemas.code_profile import CodeProfile


def read_profile(written: str) -> CodeProfile:
    """Read one profile from TOML text.

    Raises:
        ValueError: Not TOML, or not a profile; pydantic names the field.
    """
    fields = tomllib.loads(written)
    return CodeProfile.model_validate_json(json.dumps(fields), context={"unit": fields.get("unit")})


@cache
def load_profiles() -> dict[str, CodeProfile]:
    """All shipped profiles by key, one TOML file an edition."""
    folder = files("services.compliance").joinpath("profiles")
    written = sorted(
        (file for file in folder.iterdir() if file.name.endswith(".toml")),
        key=lambda file: file.name,
    )
    profiles = (read_profile(file.read_text(encoding="utf-8")) for file in written)
    return {profile.key: profile for profile in profiles}
