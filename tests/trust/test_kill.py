"""The server killed under load; the long run is `python -m tests.trust.kill 500`."""

from pathlib import Path

import pytest

from tests.trust.kill import Template, one_kill

KILLS = 20


@pytest.mark.xdist_group("kill")
def test_a_killed_server_loses_no_answered_write_and_leaves_nothing_half(
    template: Template, tmp_path: Path
) -> None:
    answered_writes = 0
    for seed in range(KILLS):
        folder = tmp_path / str(seed)
        folder.mkdir()
        answered, faults = one_kill(template, folder, seed)
        assert faults == (), f"kill {seed}"
        answered_writes += len(answered.clients) + answered.version
    assert answered_writes > KILLS, "the load never reached the server"
