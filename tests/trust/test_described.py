"""A short run of requests made from the description; the long one is `python -m tests.trust.described 30`."""

from collections import Counter

import pytest

from tests.trust.described import run
from tests.trust.kill import Template


@pytest.mark.xdist_group("kill")
@pytest.mark.filterwarnings("ignore::DeprecationWarning")
def test_requests_made_from_the_description_make_no_server_error(template: Template) -> None:
    counts = Counter[str]()
    assert run(1, 3, counts, template) == []
    assert counts["2xx"] + counts["4xx"] > 40
