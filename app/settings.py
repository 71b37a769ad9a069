"""What the surroundings say: `UPSTAND_*`, with defaults that run from a checkout; and where files lie."""

from functools import cached_property
from pathlib import Path
from typing import Literal

from pydantic import Field
from pydantic_settings import BaseSettings, SettingsConfigDict

ROOT = Path(__file__).resolve().parent.parent
TEMPLATES = ROOT / "templates"
STATIC = ROOT / "static"
SHARED = ROOT / "shared"
SEED_DATA = ROOT / "seed_data"
MIGRATIONS = ROOT / "migrations"


class Settings(BaseSettings):
    """Every setting, each read from `UPSTAND_` and its name in capitals."""

    model_config = SettingsConfigDict(env_prefix="UPSTAND_", frozen=True, extra="ignore")

    data_dir: Path = Field(ROOT / "data", description="folder for the database file and its backups")
    database_url: str = Field(
        "", repr=False, description="database to use; empty: an SQLite file in the data folder"
    )
    host: str = Field("127.0.0.1", description="address to listen on")
    port: int = Field(8080, ge=0, le=65535, description="port to listen on")
    base_url: str = Field("", description="address people type, for clients' links; empty: host and port")
    secure_cookies: bool = Field(False, description="send cookies over HTTPS only; set it behind HTTPS")
    trusted_proxies: str = Field("", description="addresses of proxies whose word on the sender is taken")
    backup_dir: str = Field("", description="folder for backups by the clock; empty: backups/ in the data")
    backup_every_h: float = Field(24, ge=0, le=8784, description="hours between them; 0 makes none")
    backup_keep: int = Field(14, ge=1, le=1000, description="how many of the newest are kept")
    backup_s3: str = Field("", description="s3://bucket/folder that backups by the clock are also sent to")
    backup_s3_endpoint: str = Field("", description="its server; empty: the one of the region")
    backup_s3_region: str = Field("us-east-1", description="its region")
    backup_s3_key: str = Field("", description="key of whoever may write there")
    backup_s3_secret: str = Field("", repr=False, description="the secret of that key")
    mail_password: str = Field(
        "", repr=False, description="password of the firm's mail account; never in the database"
    )
    log: Literal["plain", "json"] = Field("plain", description="json: a line for each request")
    metrics_token: str = Field("", repr=False, description="token for /metrics; empty: this machine only")
    demo: bool = Field(False, description="load the demo firm when the database is empty")

    @cached_property
    def url(self) -> str:
        """The database's address."""
        return self.database_url or f"sqlite:///{self.data_dir / 'upstand.sqlite'}"

    @cached_property
    def backups(self) -> Path:
        """Where backups by the clock are kept."""
        return Path(self.backup_dir) if self.backup_dir else self.data_dir / "backups"

    @cached_property
    def address(self) -> str:
        """What people type into the browser, without a slash at the end."""
        if self.base_url:
            return self.base_url.rstrip("/")
        host = "localhost" if self.host in {"127.0.0.1", "0.0.0.0", "::", "::1"} else self.host  # noqa: S104
        return f"http://{host}:{self.port}"
