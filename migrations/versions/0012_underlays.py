"""The picture beneath a job's drawing."""

import sqlalchemy as sa
from alembic import op

revision = "0012_underlays"
down_revision = "0011_passkeys"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "underlays",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("jpeg", sa.LargeBinary(), nullable=False),
        sa.Column("left_mm", sa.Double(), nullable=False),
        sa.Column("top_mm", sa.Double(), nullable=False),
        sa.Column("wide_mm", sa.Double(), nullable=False),
        sa.Column("high_mm", sa.Double(), nullable=False),
        sa.Column("opacity_pct", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("who", sa.String(length=120), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_underlays_job_id_jobs")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_underlays")),
        sa.UniqueConstraint("job_id", name=op.f("uq_underlays_job_id")),
    )


def downgrade() -> None:
    op.drop_table("underlays")
