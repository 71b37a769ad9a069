"""What is kept: tables, transactions, repositories, the trail and backups (the only user of SQLAlchemy)."""
