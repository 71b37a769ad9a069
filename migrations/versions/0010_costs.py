"""What was billed to a job, by phase and kind."""

import sqlalchemy as sa
from alembic import op

revision = "0010_costs"
down_revision = "0009_handover"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "costs",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("phase", sa.String(length=20), nullable=False),
        sa.Column("amount", sa.String(length=40), nullable=False),
        sa.Column("who", sa.String(length=200), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("by", sa.String(length=120), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_costs_job_id_jobs")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_costs")),
    )
    op.create_index(op.f("ix_costs_job_id"), "costs", ["job_id"], unique=False)


def downgrade() -> None:
    op.drop_index(op.f("ix_costs_job_id"), table_name="costs")
    op.drop_table("costs")
