from datetime import UTC, datetime
from pathlib import Path

from app.actions.backup import trail_is_whole
from app.actions.database import migrate, open_database
from app.actions.demo import load_demo
from app.actions.jobs import list_jobs
from app.actions.offer import revision_pdf
from app.actions.sign import exchange, offer_for
from app.actions.sign_in import needs_owner, sign_in

NOW = datetime(2026, 6, 1, 9, 0, tzinfo=UTC)


def test_the_demo_fills_an_empty_database_once_and_tells_its_password_once(tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path / 'demo.sqlite'}"
    migrate(url)
    db = open_database(url)
    account = load_demo(db, NOW)
    assert account is not None
    assert account.notes == ()
    assert not needs_owner(db)
    assert sign_in(db, account.email, account.password, NOW)[1].role == "owner"
    assert sorted((job.title.partition(":")[0], job.state) for job in list_jobs(db)) == [
        ("Harbour workshop", "priced"),
        ("Net store", "surveyed"),
        ("Quay loft", "offered"),
    ]
    view = offer_for(db, exchange(db, account.client_token, NOW), NOW)
    assert view.can_sign
    assert revision_pdf(db, 1).startswith(b"%PDF-")
    assert load_demo(db, NOW) is None
    assert trail_is_whole(db)
    db.close()
