"""Work and trade: rules of work, accepted plans, orders, deliveries, changes, invoices, photos, log."""

import sqlalchemy as sa
from alembic import op

revision = "0003_work_and_trade"
down_revision = "0002_the_offer"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "joint_plans",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("by", sa.String(length=120), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_joint_plans")),
    )
    op.create_table(
        "secret_addresses",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("key", sa.String(length=60), nullable=False),
        sa.Column("token_hash", sa.String(length=64), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("made_by", sa.String(length=120), nullable=False),
        sa.Column("revoked_at", sa.DateTime(timezone=True), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_secret_addresses")),
        sa.UniqueConstraint("token_hash", name=op.f("uq_secret_addresses_token_hash")),
    )
    with op.batch_alter_table("secret_addresses", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_secret_addresses_kind"), ["kind"], unique=False)

    op.create_table(
        "work_rules",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("set_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("set_by", sa.String(length=120), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_work_rules")),
    )
    op.create_table(
        "change_orders",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("title", sa.String(length=200), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("is_verbal", sa.Boolean(), nullable=False),
        sa.Column("said_by", sa.String(length=200), nullable=False),
        sa.Column("said_on", sa.Date(), nullable=True),
        sa.Column("price_change", sa.String(length=40), nullable=False),
        sa.Column("days_change", sa.Integer(), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("fingerprint", sa.String(length=64), nullable=False),
        sa.Column("pdf", sa.LargeBinary(), nullable=True),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("made_by", sa.String(length=120), nullable=False),
        sa.Column("settled_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("settled_name", sa.String(length=200), nullable=False),
        sa.Column("evidence", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_change_orders_job_id_jobs")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_change_orders")),
        sa.UniqueConstraint("job_id", "number", name=op.f("uq_change_orders_job_id")),
    )
    with op.batch_alter_table("change_orders", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_change_orders_job_id"), ["job_id"], unique=False)

    op.create_table(
        "deliveries",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("device_key", sa.String(length=64), nullable=True),
        sa.Column("item", sa.String(length=40), nullable=False),
        sa.Column("packs", sa.Integer(), nullable=False),
        sa.Column("damaged", sa.Integer(), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("who", sa.String(length=120), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_deliveries_job_id_jobs")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_deliveries")),
        sa.UniqueConstraint("device_key", name=op.f("uq_deliveries_device_key")),
    )
    with op.batch_alter_table("deliveries", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_deliveries_job_id"), ["job_id"], unique=False)

    op.create_table(
        "invoices",
        sa.Column("number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("stage", sa.String(length=60), nullable=False),
        sa.Column("title", sa.String(length=200), nullable=False),
        sa.Column("amount", sa.String(length=40), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("made_on", sa.Date(), nullable=False),
        sa.Column("due_on", sa.Date(), nullable=False),
        sa.Column("pdf", sa.LargeBinary(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("by", sa.String(length=120), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_invoices_job_id_jobs")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_invoices")),
        sa.UniqueConstraint("job_id", "stage", name=op.f("uq_invoices_job_id")),
    )
    with op.batch_alter_table("invoices", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_invoices_job_id"), ["job_id"], unique=False)

    op.create_table(
        "job_promises",
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("finish_by_on", sa.Date(), nullable=True),
        sa.Column("site", sa.Text(), nullable=False),
        sa.Column("access_notes", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_job_promises_job_id_jobs")),
        sa.PrimaryKeyConstraint("job_id", name=op.f("pk_job_promises")),
    )
    op.create_table(
        "photos",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("device_key", sa.String(length=64), nullable=True),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("caption", sa.String(length=400), nullable=False),
        sa.Column("is_before_cover", sa.Boolean(), nullable=False),
        sa.Column("width_px", sa.Integer(), nullable=False),
        sa.Column("height_px", sa.Integer(), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("jpeg", sa.LargeBinary(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("who", sa.String(length=120), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_photos_job_id_jobs")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_photos")),
        sa.UniqueConstraint("device_key", name=op.f("uq_photos_device_key")),
    )
    with op.batch_alter_table("photos", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_photos_job_id"), ["job_id"], unique=False)

    op.create_table(
        "purchase_orders",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("sequence", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("supplier", sa.String(length=200), nullable=False),
        sa.Column("lines", sa.Text(), nullable=False),
        sa.Column("needed_on", sa.Date(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("made_by", sa.String(length=120), nullable=False),
        sa.Column("confirmed_for_on", sa.Date(), nullable=True),
        sa.Column("confirmed_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("reference", sa.String(length=120), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_purchase_orders_job_id_jobs")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_purchase_orders")),
        sa.UniqueConstraint("sequence", name=op.f("uq_purchase_orders_sequence")),
    )
    with op.batch_alter_table("purchase_orders", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_purchase_orders_job_id"), ["job_id"], unique=False)

    op.create_table(
        "task_edits",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(length=80), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("by", sa.String(length=120), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_task_edits_job_id_jobs")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_task_edits")),
        sa.UniqueConstraint("job_id", "code", name=op.f("uq_task_edits_job_id")),
    )
    op.create_table(
        "receipts",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("invoice_number", sa.Integer(), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("amount", sa.String(length=40), nullable=False),
        sa.Column("note", sa.String(length=400), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("by", sa.String(length=120), nullable=False),
        sa.ForeignKeyConstraint(
            ["invoice_number"], ["invoices.number"], name=op.f("fk_receipts_invoice_number_invoices")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_receipts")),
    )
    with op.batch_alter_table("receipts", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_receipts_invoice_number"), ["invoice_number"], unique=False)

    with op.batch_alter_table("log_entries", schema=None) as batch_op:
        batch_op.add_column(sa.Column("device_key", sa.String(length=64), nullable=True))
        batch_op.add_column(sa.Column("kind", sa.String(length=20), server_default="note", nullable=False))
        batch_op.add_column(sa.Column("person", sa.String(length=120), server_default="", nullable=False))
        batch_op.add_column(sa.Column("task_code", sa.String(length=80), server_default="", nullable=False))
        batch_op.add_column(sa.Column("done_pct", sa.Integer(), nullable=True))
        batch_op.create_unique_constraint(batch_op.f("uq_log_entries_device_key"), ["device_key"])


def downgrade() -> None:
    with op.batch_alter_table("log_entries", schema=None) as batch_op:
        batch_op.drop_constraint(batch_op.f("uq_log_entries_device_key"), type_="unique")
        batch_op.drop_column("done_pct")
        batch_op.drop_column("task_code")
        batch_op.drop_column("person")
        batch_op.drop_column("kind")
        batch_op.drop_column("device_key")

    with op.batch_alter_table("receipts", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_receipts_invoice_number"))

    op.drop_table("receipts")
    op.drop_table("task_edits")
    with op.batch_alter_table("purchase_orders", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_purchase_orders_job_id"))

    op.drop_table("purchase_orders")
    with op.batch_alter_table("photos", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_photos_job_id"))

    op.drop_table("photos")
    op.drop_table("job_promises")
    with op.batch_alter_table("invoices", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_invoices_job_id"))

    op.drop_table("invoices")
    with op.batch_alter_table("deliveries", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_deliveries_job_id"))

    op.drop_table("deliveries")
    with op.batch_alter_table("change_orders", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_change_orders_job_id"))

    op.drop_table("change_orders")
    op.drop_table("work_rules")
    with op.batch_alter_table("secret_addresses", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_secret_addresses_kind"))

    op.drop_table("secret_addresses")
    op.drop_table("joint_plans")
