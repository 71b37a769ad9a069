"""What the list of jobs shows, in its order."""

from alembic import op

revision = "0013_list_of_jobs"
down_revision = "0012_underlays"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_index(
        "ix_jobs_listed",
        "jobs",
        [
            "changed_at",
            "id",
            "sequence",
            "title",
            "client_id",
            "state",
            "crew_code",
            "start_on",
            "made_at",
        ],
    )


def downgrade() -> None:
    op.drop_index("ix_jobs_listed", table_name="jobs")
