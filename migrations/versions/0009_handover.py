"""Frozen handover files with the client's receipt, warranty by class, the hash of every invoice."""

import sqlalchemy as sa
from alembic import op

revision = "0009_handover"
down_revision = "0008_tax_codes"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "handover_copies",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("inputs", sa.Text(), nullable=False),
        sa.Column("pdf", sa.LargeBinary(), nullable=False),
        sa.Column("fingerprint", sa.String(length=64), nullable=False),
        sa.Column("document_sha256", sa.String(length=64), nullable=False),
        sa.Column("lacking", sa.Text(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("made_by", sa.String(length=120), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_handover_copies_job_id_jobs")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_handover_copies")),
        sa.UniqueConstraint("job_id", "number", name=op.f("uq_handover_copies_job_id")),
    )
    op.create_index(op.f("ix_handover_copies_job_id"), "handover_copies", ["job_id"], unique=False)
    op.create_table(
        "handover_receipts",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("copy_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("fingerprint", sa.String(length=64), nullable=False),
        sa.Column("received_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("address", sa.String(length=80), nullable=False),
        sa.Column("browser", sa.String(length=400), nullable=False),
        sa.ForeignKeyConstraint(
            ["copy_id"], ["handover_copies.id"], name=op.f("fk_handover_receipts_copy_id_handover_copies")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_handover_receipts")),
        sa.UniqueConstraint("copy_id", name=op.f("uq_handover_receipts_copy_id")),
    )
    op.create_table(
        "warranty_terms",
        sa.Column("code", sa.String(length=40), nullable=False),
        sa.Column("months", sa.Integer(), nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("set_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("set_by", sa.String(length=120), nullable=False),
        sa.PrimaryKeyConstraint("code", name=op.f("pk_warranty_terms")),
    )
    op.add_column(
        "invoices", sa.Column("document_sha256", sa.String(length=64), nullable=False, server_default="")
    )


def downgrade() -> None:
    op.drop_column("invoices", "document_sha256")
    op.drop_table("warranty_terms")
    op.drop_table("handover_receipts")
    op.drop_index(op.f("ix_handover_copies_job_id"), table_name="handover_copies")
    op.drop_table("handover_copies")
