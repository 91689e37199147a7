"""Posting outside: never into a private network, and patient with names that lead nowhere."""

from __future__ import annotations

import pytest

from schemas.errors import NotNow
from worker.post.posting import NotAllowed, post


@pytest.mark.parametrize(
    "url", ["https://127.0.0.1/", "https://localhost/", "https://10.0.0.7/", "https://[::1]/"]
)
def test_nothing_is_posted_into_a_private_network(url: str) -> None:
    """Unless the receiver is said to stand there."""
    with pytest.raises(NotAllowed, match="inside a private network"):
        post(url, b"{}", {}, on_site=False)


def test_a_name_that_leads_nowhere_is_not_now() -> None:
    """It may lead somewhere tomorrow."""
    with pytest.raises(NotNow, match="has no address"):
        post("https://nowhere.invalid/", b"{}", {}, on_site=False)
