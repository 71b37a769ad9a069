"""The rack: offcuts kept for the next job."""

import sqlalchemy as sa
from alembic import op

revision = "0007_rack"
down_revision = "0006_both_have_signed"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "rack",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("profile", sa.String(length=40), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("material", sa.String(length=200), nullable=False),
        sa.Column("width_mm", sa.Double(), nullable=False),
        sa.Column("thick_mm", sa.Double(), nullable=False),
        sa.Column("length_mm", sa.Double(), nullable=False),
        sa.Column("label", sa.String(length=200), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("put_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("put_by", sa.String(length=120), nullable=False),
        sa.Column("taken_job_id", sa.Integer(), nullable=True),
        sa.Column("taken_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("taken_by", sa.String(length=120), nullable=False),
        sa.Column("gone_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_rack_job_id_jobs")),
        sa.ForeignKeyConstraint(["taken_job_id"], ["jobs.id"], name=op.f("fk_rack_taken_job_id_jobs")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_rack")),
    )
    op.create_index(op.f("ix_rack_job_id"), "rack", ["job_id"], unique=False)
    op.create_index(op.f("ix_rack_taken_job_id"), "rack", ["taken_job_id"], unique=False)


def downgrade() -> None:
    op.drop_index(op.f("ix_rack_taken_job_id"), table_name="rack")
    op.drop_index(op.f("ix_rack_job_id"), table_name="rack")
    op.drop_table("rack")
