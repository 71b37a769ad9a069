"""The tax code of a thing that is bought; learned rates that the owner did not take over."""

import sqlalchemy as sa
from alembic import op

revision = "0008_tax_codes"
down_revision = "0007_rack"
branch_labels = None
depends_on = None


def upgrade() -> None:
    # Not as a batch: that makes the table anew, and its prices would go with the old one.
    op.add_column(
        "price_items", sa.Column("tax_code", sa.String(length=20), nullable=False, server_default="")
    )
    op.create_table(
        "declined_rates",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("assembly", sa.String(length=40), nullable=False),
        sa.Column("part", sa.Integer(), nullable=False),
        sa.Column("proposed", sa.String(length=40), nullable=False),
        sa.Column("jobs", sa.Integer(), nullable=False),
        sa.Column("set_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("set_by", sa.String(length=120), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_declined_rates")),
    )
    op.create_index(op.f("ix_declined_rates_assembly"), "declined_rates", ["assembly"])


def downgrade() -> None:
    op.drop_index(op.f("ix_declined_rates_assembly"), table_name="declined_rates")
    op.drop_table("declined_rates")
    op.drop_column("price_items", "tax_code")
