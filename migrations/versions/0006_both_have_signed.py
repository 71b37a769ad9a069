"""The firm's signature below the client's, and the client's notice that it cancels."""

import sqlalchemy as sa
from alembic import op

revision = "0006_both_have_signed"
down_revision = "0005_second_factor"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "counter_signs",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("revision_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("who", sa.String(length=120), nullable=False),
        sa.Column("fingerprint", sa.String(length=64), nullable=False),
        sa.Column("signed_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["revision_id"], ["revisions.id"], name=op.f("fk_counter_signs_revision_id_revisions")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_counter_signs")),
        sa.UniqueConstraint("revision_id", name=op.f("uq_counter_signs_revision_id")),
    )
    op.create_table(
        "cancellations",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("revision_id", sa.Integer(), nullable=False),
        sa.Column("link_id", sa.Integer(), nullable=True),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("words", sa.Text(), nullable=False),
        sa.Column("cancelled_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("address", sa.String(length=80), nullable=False),
        sa.Column("browser", sa.String(length=400), nullable=False),
        sa.ForeignKeyConstraint(
            ["revision_id"], ["revisions.id"], name=op.f("fk_cancellations_revision_id_revisions")
        ),
        sa.ForeignKeyConstraint(["link_id"], ["links.id"], name=op.f("fk_cancellations_link_id_links")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_cancellations")),
        sa.UniqueConstraint("revision_id", name=op.f("uq_cancellations_revision_id")),
    )


def downgrade() -> None:
    op.drop_table("cancellations")
    op.drop_table("counter_signs")
