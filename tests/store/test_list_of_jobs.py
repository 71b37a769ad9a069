"""The list of jobs reads what it shows: with two thousand jobs as with ten."""

import pytest
from sqlalchemy import event, text

from app.store import jobs
from app.store.database import Database


@pytest.mark.parametrize("search", ["", "quay", "2026-017"])
def test_a_page_of_jobs_is_read_from_its_index_in_its_order(db: Database, search: str) -> None:
    if not db.is_sqlite:
        return  # a database server plans by what it has counted, which is nothing here
    asked: list[tuple[str, tuple[object, ...]]] = []
    event.listen(db.engine, "before_cursor_execute", lambda *given: asked.append((given[2], given[3])))
    with db.read() as session:
        assert jobs.list_jobs(session, search=search, rows=(0, 50)) == ()
        statement, places = next(one for one in asked if one[0].startswith("SELECT jobs.id"))
        connection = session.connection().connection.driver_connection
        assert connection is not None
        plan = [row[3] for row in connection.execute(f"EXPLAIN QUERY PLAN {statement}", places)]
        assert session.scalar(text("SELECT count(*) FROM jobs")) == 0
    assert plan[0] == "SCAN jobs USING COVERING INDEX ix_jobs_listed"
    assert not [line for line in plan if "TEMP B-TREE" in line or line.startswith("SCAN revisions")], plan
