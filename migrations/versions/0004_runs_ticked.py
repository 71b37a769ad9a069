"""Checks of hidden runs, ticked off one by one."""

import sqlalchemy as sa
from alembic import op

revision = "0004_runs_ticked"
down_revision = "0003_work_and_trade"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "run_ticks",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("run", sa.String(length=60), nullable=False),
        sa.Column("ends", sa.String(length=200), nullable=False),
        sa.Column("what", sa.String(length=20), nullable=False),
        sa.Column("by", sa.String(length=120), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_run_ticks_job_id_jobs")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_run_ticks")),
        sa.UniqueConstraint("job_id", "run", "what", name=op.f("uq_run_ticks_job_id")),
    )


def downgrade() -> None:
    op.drop_table("run_ticks")
