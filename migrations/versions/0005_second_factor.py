"""Second factor, recovery codes, roles by name, sessions told apart, keys of the JSON API."""

import sqlalchemy as sa
from alembic import op

revision = "0005_second_factor"
down_revision = "0004_runs_ticked"
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table("staff") as table:
        table.add_column(sa.Column("totp_secret", sa.String(length=64), nullable=False, server_default=""))
        table.add_column(sa.Column("totp_step", sa.Integer(), nullable=False, server_default="0"))
        table.add_column(sa.Column("must_change", sa.Boolean(), nullable=False, server_default=sa.false()))
    op.execute("UPDATE staff SET role = 'office' WHERE role = 'member'")
    with op.batch_alter_table("sessions") as table:
        table.add_column(sa.Column("waits", sa.Boolean(), nullable=False, server_default=sa.false()))
        table.add_column(sa.Column("address", sa.String(length=80), nullable=False, server_default=""))
        table.add_column(sa.Column("browser", sa.String(length=300), nullable=False, server_default=""))
    op.create_table(
        "recovery_codes",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("staff_id", sa.Integer(), nullable=False),
        sa.Column("code_hash", sa.String(length=64), nullable=False),
        sa.ForeignKeyConstraint(
            ["staff_id"], ["staff.id"], name=op.f("fk_recovery_codes_staff_id_staff"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_recovery_codes")),
    )
    op.create_index(op.f("ix_recovery_codes_staff_id"), "recovery_codes", ["staff_id"])
    op.create_table(
        "api_keys",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("staff_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=80), nullable=False),
        sa.Column("key_hash", sa.String(length=64), nullable=False),
        sa.Column("scope", sa.String(length=10), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("expires_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("last_used_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(
            ["staff_id"], ["staff.id"], name=op.f("fk_api_keys_staff_id_staff"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_api_keys")),
        sa.UniqueConstraint("key_hash", name=op.f("uq_api_keys_key_hash")),
    )
    op.create_index(op.f("ix_api_keys_staff_id"), "api_keys", ["staff_id"])


def downgrade() -> None:
    op.drop_table("api_keys")
    op.drop_table("recovery_codes")
    with op.batch_alter_table("sessions") as table:
        for name in ("browser", "address", "waits"):
            table.drop_column(name)
    op.execute("UPDATE staff SET role = 'member' WHERE role IN ('office', 'crew')")
    with op.batch_alter_table("staff") as table:
        for name in ("must_change", "totp_step", "totp_secret"):
            table.drop_column(name)
