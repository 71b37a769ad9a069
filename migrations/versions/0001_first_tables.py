"""The first tables: firm, staff, clients, jobs, prices, offers, site."""

import sqlalchemy as sa
from alembic import op

revision = "0001_first_tables"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "assemblies",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(length=40), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("set_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("set_by", sa.String(length=120), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_assemblies")),
        sa.UniqueConstraint("code", "version", name=op.f("uq_assemblies_code")),
    )
    op.create_table(
        "audit",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("who", sa.String(length=120), nullable=False),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("subject", sa.String(length=80), nullable=False),
        sa.Column("before_version", sa.Integer(), nullable=True),
        sa.Column("after_version", sa.Integer(), nullable=True),
        sa.Column("previous_sha256", sa.String(length=64), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_audit")),
        sa.UniqueConstraint("sha256", name=op.f("uq_audit_sha256")),
    )
    with op.batch_alter_table("audit", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_audit_subject"), ["subject"], unique=False)

    op.create_table(
        "clients",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("email", sa.String(length=254), nullable=False),
        sa.Column("phone", sa.String(length=60), nullable=False),
        sa.Column("address", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_clients")),
    )
    op.create_table(
        "crews",
        sa.Column("code", sa.String(length=40), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("people", sa.Integer(), nullable=False),
        sa.Column("day_h", sa.Double(), nullable=False),
        sa.PrimaryKeyConstraint("code", name=op.f("pk_crews")),
    )
    op.create_table(
        "days_off",
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.PrimaryKeyConstraint("day", name=op.f("pk_days_off")),
    )
    op.create_table(
        "guesses",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("sender", sa.String(length=300), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_guesses")),
    )
    with op.batch_alter_table("guesses", schema=None) as batch_op:
        batch_op.create_index("ix_guesses_kind_sender_at", ["kind", "sender", "at"], unique=False)

    op.create_table(
        "price_items",
        sa.Column("item", sa.String(length=40), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("unit", sa.String(length=10), nullable=False),
        sa.Column("pack", sa.String(length=40), nullable=False),
        sa.Column("supplier", sa.String(length=200), nullable=False),
        sa.Column("lead_days", sa.Integer(), nullable=False),
        sa.Column("mass_kg", sa.Double(), nullable=True),
        sa.PrimaryKeyConstraint("item", name=op.f("pk_price_items")),
    )
    op.create_table(
        "rules",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("set_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("set_by", sa.String(length=120), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_rules")),
    )
    op.create_table(
        "shop",
        sa.Column("id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("address", sa.Text(), nullable=False),
        sa.Column("phone", sa.String(length=60), nullable=False),
        sa.Column("email", sa.String(length=254), nullable=False),
        sa.Column("registration", sa.String(length=200), nullable=False),
        sa.Column("region", sa.String(length=20), nullable=False),
        sa.Column("weekdays", sa.String(length=20), nullable=False),
        sa.Column("withdrawal", sa.String(length=40), nullable=False),
        sa.Column("deposit_cap", sa.String(length=40), nullable=False),
        sa.CheckConstraint("id = 1", name=op.f("ck_shop_one_row")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_shop")),
    )
    op.create_table(
        "staff",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("email", sa.String(length=254), nullable=False),
        sa.Column("password_hash", sa.String(length=200), nullable=False),
        sa.Column("role", sa.String(length=20), nullable=False),
        sa.Column("is_active", sa.Boolean(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_staff")),
        sa.UniqueConstraint("email", name=op.f("uq_staff_email")),
    )
    op.create_table(
        "wording",
        sa.Column("code", sa.String(length=40), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("title", sa.String(length=200), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("source", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("code", name=op.f("pk_wording")),
    )
    op.create_table(
        "jobs",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("sequence", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.Integer(), nullable=False),
        sa.Column("title", sa.String(length=120), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("document_sha256", sa.String(length=64), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("crew_code", sa.String(length=40), nullable=False),
        sa.Column("start_on", sa.Date(), nullable=True),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("changed_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["client_id"], ["clients.id"], name=op.f("fk_jobs_client_id_clients")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_jobs")),
        sa.UniqueConstraint("sequence", name=op.f("uq_jobs_sequence")),
    )
    with op.batch_alter_table("jobs", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_jobs_client_id"), ["client_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_jobs_state"), ["state"], unique=False)

    op.create_table(
        "prices_from",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("item", sa.String(length=40), nullable=False),
        sa.Column("from_on", sa.Date(), nullable=False),
        sa.Column("pack_price", sa.String(length=40), nullable=False),
        sa.Column("set_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("set_by", sa.String(length=120), nullable=False),
        sa.ForeignKeyConstraint(
            ["item"], ["price_items.item"], name=op.f("fk_prices_from_item_price_items"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_prices_from")),
    )
    with op.batch_alter_table("prices_from", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_prices_from_item"), ["item"], unique=False)

    op.create_table(
        "sessions",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("token_hash", sa.String(length=64), nullable=False),
        sa.Column("staff_id", sa.Integer(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("last_seen_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["staff_id"], ["staff.id"], name=op.f("fk_sessions_staff_id_staff"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sessions")),
        sa.UniqueConstraint("token_hash", name=op.f("uq_sessions_token_hash")),
    )
    with op.batch_alter_table("sessions", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_sessions_staff_id"), ["staff_id"], unique=False)

    op.create_table(
        "hold_points",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(length=80), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("entered_by", sa.String(length=120), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_hold_points_job_id_jobs")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_hold_points")),
        sa.UniqueConstraint("job_id", "code", name=op.f("uq_hold_points_job_id")),
    )
    op.create_table(
        "log_entries",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("hours_h", sa.Double(), nullable=False),
        sa.Column("phase", sa.String(length=20), nullable=False),
        sa.Column("people", sa.Integer(), nullable=False),
        sa.Column("weather", sa.String(length=120), nullable=False),
        sa.Column("who", sa.String(length=120), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_log_entries_job_id_jobs")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_log_entries")),
    )
    with op.batch_alter_table("log_entries", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_log_entries_job_id"), ["job_id"], unique=False)

    op.create_table(
        "orders_placed",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("item", sa.String(length=40), nullable=False),
        sa.Column("reference", sa.String(length=120), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("by", sa.String(length=120), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_orders_placed_job_id_jobs")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_orders_placed")),
        sa.UniqueConstraint("job_id", "item", name=op.f("uq_orders_placed_job_id")),
    )
    op.create_table(
        "papers",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(length=40), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("by", sa.String(length=120), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_papers_job_id_jobs")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_papers")),
        sa.UniqueConstraint("job_id", "code", name=op.f("uq_papers_job_id")),
    )
    op.create_table(
        "punch_items",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("place", sa.String(length=80), nullable=False),
        sa.Column("added_on", sa.Date(), nullable=False),
        sa.Column("added_by", sa.String(length=120), nullable=False),
        sa.Column("due_on", sa.Date(), nullable=True),
        sa.Column("closed_on", sa.Date(), nullable=True),
        sa.Column("closed_by", sa.String(length=120), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_punch_items_job_id_jobs")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_punch_items")),
    )
    with op.batch_alter_table("punch_items", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_punch_items_job_id"), ["job_id"], unique=False)

    op.create_table(
        "revisions",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("offered_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("offered_on", sa.Date(), nullable=False),
        sa.Column("valid_until_on", sa.Date(), nullable=False),
        sa.Column("offered_by", sa.String(length=120), nullable=False),
        sa.Column("total", sa.String(length=40), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("fingerprint", sa.String(length=64), nullable=False),
        sa.Column("inputs", sa.Text(), nullable=False),
        sa.Column("results", sa.Text(), nullable=False),
        sa.Column("pdf", sa.LargeBinary(), nullable=False),
        sa.Column("document_sha256", sa.String(length=64), nullable=False),
        sa.Column("declined_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("decline_reason", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_revisions_job_id_jobs")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_revisions")),
        sa.UniqueConstraint("job_id", "number", name=op.f("uq_revisions_job_id")),
    )
    op.create_table(
        "links",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("revision_id", sa.Integer(), nullable=False),
        sa.Column("token_hash", sa.String(length=64), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("made_by", sa.String(length=120), nullable=False),
        sa.Column("expires_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("revoked_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("opened", sa.Integer(), nullable=False),
        sa.Column("last_opened_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(
            ["revision_id"], ["revisions.id"], name=op.f("fk_links_revision_id_revisions")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_links")),
        sa.UniqueConstraint("token_hash", name=op.f("uq_links_token_hash")),
    )
    with op.batch_alter_table("links", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_links_revision_id"), ["revision_id"], unique=False)

    op.create_table(
        "link_events",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("link_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("what", sa.String(length=40), nullable=False),
        sa.ForeignKeyConstraint(["link_id"], ["links.id"], name=op.f("fk_link_events_link_id_links")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_link_events")),
    )
    with op.batch_alter_table("link_events", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_link_events_link_id"), ["link_id"], unique=False)

    op.create_table(
        "link_sessions",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("link_id", sa.Integer(), nullable=False),
        sa.Column("cookie_hash", sa.String(length=64), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["link_id"], ["links.id"], name=op.f("fk_link_sessions_link_id_links")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_link_sessions")),
        sa.UniqueConstraint("cookie_hash", name=op.f("uq_link_sessions_cookie_hash")),
    )
    with op.batch_alter_table("link_sessions", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_link_sessions_link_id"), ["link_id"], unique=False)

    op.create_table(
        "sign_offs",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("revision_id", sa.Integer(), nullable=False),
        sa.Column("link_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("consent", sa.Text(), nullable=False),
        sa.Column("fingerprint", sa.String(length=64), nullable=False),
        sa.Column("document_sha256", sa.String(length=64), nullable=False),
        sa.Column("signed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("address", sa.String(length=80), nullable=False),
        sa.Column("browser", sa.String(length=400), nullable=False),
        sa.ForeignKeyConstraint(["link_id"], ["links.id"], name=op.f("fk_sign_offs_link_id_links")),
        sa.ForeignKeyConstraint(
            ["revision_id"], ["revisions.id"], name=op.f("fk_sign_offs_revision_id_revisions")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sign_offs")),
        sa.UniqueConstraint("revision_id", name=op.f("uq_sign_offs_revision_id")),
    )
    with op.batch_alter_table("sign_offs", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_sign_offs_link_id"), ["link_id"], unique=False)


def downgrade() -> None:
    with op.batch_alter_table("sign_offs", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_sign_offs_link_id"))

    op.drop_table("sign_offs")
    with op.batch_alter_table("link_sessions", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_link_sessions_link_id"))

    op.drop_table("link_sessions")
    with op.batch_alter_table("link_events", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_link_events_link_id"))

    op.drop_table("link_events")
    with op.batch_alter_table("links", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_links_revision_id"))

    op.drop_table("links")
    op.drop_table("revisions")
    with op.batch_alter_table("punch_items", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_punch_items_job_id"))

    op.drop_table("punch_items")
    op.drop_table("papers")
    op.drop_table("orders_placed")
    with op.batch_alter_table("log_entries", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_log_entries_job_id"))

    op.drop_table("log_entries")
    op.drop_table("hold_points")
    with op.batch_alter_table("sessions", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_sessions_staff_id"))

    op.drop_table("sessions")
    with op.batch_alter_table("prices_from", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_prices_from_item"))

    op.drop_table("prices_from")
    with op.batch_alter_table("jobs", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_jobs_state"))
        batch_op.drop_index(batch_op.f("ix_jobs_client_id"))

    op.drop_table("jobs")
    op.drop_table("wording")
    op.drop_table("staff")
    op.drop_table("shop")
    op.drop_table("rules")
    op.drop_table("price_items")
    with op.batch_alter_table("guesses", schema=None) as batch_op:
        batch_op.drop_index("ix_guesses_kind_sender_at")

    op.drop_table("guesses")
    op.drop_table("days_off")
    op.drop_table("crews")
    op.drop_table("clients")
    with op.batch_alter_table("audit", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_audit_subject"))

    op.drop_table("audit")
    op.drop_table("assemblies")
