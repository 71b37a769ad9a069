"""The demo, loaded once for all tests of trust."""

import pytest

from tests.trust import disks
from tests.trust.kill import Template, make_template

# Where no disk can be mounted, the end of the run says so (tests/conftest.py).
collect_ignore = [] if disks.MAY_MOUNT else ["test_full_disk.py"]


@pytest.fixture(scope="session")
def template(tmp_path_factory: pytest.TempPathFactory) -> Template:
    return make_template(tmp_path_factory.mktemp("template"))
