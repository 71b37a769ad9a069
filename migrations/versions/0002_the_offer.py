"""The offer: price imports, options, questions, codes, the office's own figures, mail."""

import sqlalchemy as sa
from alembic import op

revision = "0002_the_offer"
down_revision = "0001_first_tables"
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table("price_items") as table:
        table.add_column(sa.Column("length_mm", sa.Double(), nullable=True))
        table.add_column(sa.Column("spares_pct", sa.String(length=40), nullable=False, server_default="0"))
        table.add_column(sa.Column("gone_on", sa.Date(), nullable=True))
    with op.batch_alter_table("shop") as table:
        table.add_column(sa.Column("terms", sa.Text(), nullable=False, server_default="{}"))
    with op.batch_alter_table("link_sessions") as table:
        table.add_column(sa.Column("records_consent_at", sa.DateTime(timezone=True), nullable=True))
        table.add_column(sa.Column("code_given_at", sa.DateTime(timezone=True), nullable=True))
    with op.batch_alter_table("sign_offs") as table:
        table.add_column(sa.Column("combination", sa.String(length=400), nullable=False, server_default=""))
        table.add_column(sa.Column("evidence", sa.Text(), nullable=False, server_default="{}"))
    op.create_table(
        "price_imports",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("made_by", sa.String(length=120), nullable=False),
        sa.Column("file_name", sa.String(length=200), nullable=False),
        sa.Column("items", sa.Text(), nullable=False),
        sa.Column("item_count", sa.Integer(), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("settled_at", sa.DateTime(timezone=True), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_price_imports")),
    )
    op.create_table(
        "combinations",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("revision_id", sa.Integer(), nullable=False),
        sa.Column("codes", sa.String(length=400), nullable=False),
        sa.Column("fingerprint", sa.String(length=64), nullable=False),
        sa.Column("results", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["revision_id"], ["revisions.id"], name=op.f("fk_combinations_revision_id_revisions")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_combinations")),
        sa.UniqueConstraint("revision_id", "codes", name=op.f("uq_combinations_revision_id")),
    )
    op.create_table(
        "questions",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("link_id", sa.Integer(), nullable=True),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("who", sa.String(length=200), nullable=False),
        sa.Column("is_client", sa.Boolean(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_questions_job_id_jobs")),
        sa.ForeignKeyConstraint(["link_id"], ["links.id"], name=op.f("fk_questions_link_id_links")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_questions")),
    )
    op.create_index(op.f("ix_questions_job_id"), "questions", ["job_id"], unique=False)
    op.create_table(
        "sign_codes",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("link_session_id", sa.Integer(), nullable=False),
        sa.Column("code_hash", sa.String(length=64), nullable=False),
        sa.Column("sent_to", sa.String(length=254), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("tries", sa.Integer(), nullable=False),
        sa.Column("used_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(
            ["link_session_id"],
            ["link_sessions.id"],
            name=op.f("fk_sign_codes_link_session_id_link_sessions"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sign_codes")),
    )
    op.create_index(op.f("ix_sign_codes_link_session_id"), "sign_codes", ["link_session_id"], unique=False)
    op.create_table(
        "job_pricing",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("set_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("set_by", sa.String(length=120), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_job_pricing_job_id_jobs")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_job_pricing")),
        sa.UniqueConstraint("job_id", "version", name=op.f("uq_job_pricing_job_id")),
    )
    op.create_table(
        "mail",
        sa.Column("id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("host", sa.String(length=253), nullable=False),
        sa.Column("port", sa.Integer(), nullable=False),
        sa.Column("security", sa.String(length=10), nullable=False),
        sa.Column("user", sa.String(length=254), nullable=False),
        sa.Column("sender", sa.String(length=254), nullable=False),
        sa.CheckConstraint("id = 1", name=op.f("ck_mail_one_row")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_mail")),
    )
    op.create_table(
        "letters",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=True),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("sent_to", sa.String(length=254), nullable=False),
        sa.Column("subject", sa.String(length=200), nullable=False),
        sa.Column("fault", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_letters_job_id_jobs")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_letters")),
    )
    op.create_index(op.f("ix_letters_job_id"), "letters", ["job_id"], unique=False)


def downgrade() -> None:
    for table_name in ("letters", "mail", "job_pricing", "sign_codes", "questions", "combinations"):
        op.drop_table(table_name)
    op.drop_table("price_imports")
    for table_name, columns in (
        ("sign_offs", ("evidence", "combination")),
        ("link_sessions", ("code_given_at", "records_consent_at")),
        ("shop", ("terms",)),
        ("price_items", ("gone_on", "spares_pct", "length_mm")),
    ):
        with op.batch_alter_table(table_name) as table:
            for column in columns:
                table.drop_column(column)
