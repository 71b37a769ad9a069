"""Passkeys, the questions put to them, the shop's rule of a second factor, first passwords that run out."""

import sqlalchemy as sa
from alembic import op

revision = "0011_passkeys"
down_revision = "0010_costs"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "passkeys",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("staff_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=80), nullable=False),
        sa.Column("credential_id", sa.String(length=1400), nullable=False),
        sa.Column("public_key", sa.Text(), nullable=False),
        sa.Column("sign_count", sa.BigInteger(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("last_used_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(
            ["staff_id"], ["staff.id"], name=op.f("fk_passkeys_staff_id_staff"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_passkeys")),
        sa.UniqueConstraint("credential_id", name=op.f("uq_passkeys_credential_id")),
    )
    op.create_index(op.f("ix_passkeys_staff_id"), "passkeys", ["staff_id"])
    op.create_table(
        "passkey_challenges",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("staff_id", sa.Integer(), nullable=False),
        sa.Column("token_hash", sa.String(length=64), nullable=False),
        sa.Column("purpose", sa.String(length=10), nullable=False),
        sa.Column("challenge", sa.String(length=100), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["staff_id"], ["staff.id"], name=op.f("fk_passkey_challenges_staff_id_staff"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_passkey_challenges")),
    )
    op.create_index(op.f("ix_passkey_challenges_staff_id"), "passkey_challenges", ["staff_id"])
    op.create_index(op.f("ix_passkey_challenges_token_hash"), "passkey_challenges", ["token_hash"])
    with op.batch_alter_table("staff") as table:
        table.add_column(sa.Column("first_until", sa.DateTime(timezone=True), nullable=True))
    with op.batch_alter_table("shop") as table:
        table.add_column(sa.Column("asks_factor", sa.Boolean(), nullable=False, server_default=sa.false()))


def downgrade() -> None:
    with op.batch_alter_table("shop") as table:
        table.drop_column("asks_factor")
    with op.batch_alter_table("staff") as table:
        table.drop_column("first_until")
    op.drop_table("passkey_challenges")
    op.drop_table("passkeys")
