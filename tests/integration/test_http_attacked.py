"""The service attacked with whatever its own description allows and forbids.

Schemathesis reads the OpenAPI document and sends what it generates from it to a real server
over the real computation. No answer may be a 5xx, of another status or form than described, or
take in what the description forbids. What is well-formed and yet cannot be (a length such as
`71/4`, a crew that the company does not have) is refused with 422, which no schema can say; so
the check that every well-formed body be taken in is left out.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, assume, given, settings
from schemathesis import GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi import checks

from tests.conftest import emptied
from tests.over_http import Office, office_of
from worker.api.app import openapi_document
from worker.api.examples import SUBMISSION
from worker.bootstrap import build
from worker.ledger.opening import upgrade_ledger
from worker.ledger.records import job_by_number
from worker.making import make_pack
from worker.settings import Settings

EXAMPLES: Final = 12
"""Requests of each kind, allowed and forbidden, for every address and method."""

DOCUMENT: Final = openapi_document()
DESCRIBED: Final = schemathesis.openapi.from_dict(DOCUMENT)
OPERATIONS: Final = [
    (path, method.upper()) for path, methods in DOCUMENT["paths"].items() for method in methods
]
OPEN_TO_WRONG: Final = [
    (path, method)
    for path, method in OPERATIONS
    if DOCUMENT["paths"][path][method.lower()].keys() & {"parameters", "requestBody"}
]
"""Those that are told anything at all."""

CHECKS: Final = [
    not_a_server_error,
    checks.status_code_conformance,
    checks.content_type_conformance,
    checks.response_schema_conformance,
    checks.response_headers_conformance,
    checks.negative_data_rejection,
    checks.missing_required_header,
    checks.unsupported_method,
    checks.allow_header_conformance,
    checks.ignored_auth,
    checks.use_after_free,
    checks.ensure_resource_availability,
]


@pytest.fixture(scope="module", params=["sqlite", "postgresql"])
def attacked(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Office]:
    """A service over the real computation on each ledger, with one packed job, and no hurry."""
    settings = Settings(
        data=tmp_path_factory.mktemp("attacked"), requests_a_minute=1_000_000,
        broker_url="redis://0.0.0.0:1",
    )  # fmt: skip
    if request.param == "postgresql":
        url = emptied(request.getfixturevalue("postgres"))
        upgrade_ledger(url)
        settings = settings.model_copy(update={"ledger_url": url})
    works = build(settings)
    with office_of(works) as office:
        assert office.send(SUBMISSION).status_code == 202
        with works.ledger.reading() as tx:
            row = job_by_number(tx, SUBMISSION["job"])
        make_pack(works, row.id, holder="host:1")
        yield office
    works.ledger.close()


@pytest.mark.parametrize(("path", "method"), OPERATIONS)
def test_what_the_description_allows_breaks_nothing(
    attacked: Office, path: str, method: str
) -> None:
    """Every answer is one that is described."""
    attack(attacked, path, method, GenerationMode.POSITIVE)


@pytest.mark.parametrize(("path", "method"), OPEN_TO_WRONG)
def test_what_the_description_forbids_is_refused(attacked: Office, path: str, method: str) -> None:
    """With an answer that is described too."""
    attack(attacked, path, method, GenerationMode.NEGATIVE)


def attack(attacked: Office, path: str, method: str, mode: GenerationMode) -> None:
    """Send requests to one address, the same ones each time.

    An empty list or object after the `?` leaves no trace in an address: what is sent is then
    another request than the one that was meant to be wrong.
    """

    @settings(
        max_examples=EXAMPLES, deadline=None, derandomize=True, database=None,
        phases=[Phase.generate], suppress_health_check=list(HealthCheck),
    )  # fmt: skip
    @given(DESCRIBED[path][method].as_strategy(generation_mode=mode))
    def send(case: Any) -> None:  # noqa: ANN401  # the attacker's cases carry no types
        assume(all(value not in ([], {}) for value in (case.query or {}).values()))
        key = {"Authorization": f"Bearer {attacked.key}"}
        answer = case.call(base_url=attacked.url, headers=key)
        case.validate_response(answer, checks=CHECKS, headers=key)

    send()
