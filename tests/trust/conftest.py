"""The demo, loaded once for all tests of trust."""

import pytest

from tests.trust.kill import Template, make_template


@pytest.fixture(scope="session")
def template(tmp_path_factory: pytest.TempPathFactory) -> Template:
    return make_template(tmp_path_factory.mktemp("template"))
