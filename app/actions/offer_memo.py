"""What clients read again and again, kept as long as the database says that nothing of it has changed.

The key holds every value in the database that can change what the client sees; it is read each time, in one
question. A frozen revision never changes, so the rest is not read again. Losing the memo costs time only.
"""

from collections import OrderedDict
from datetime import datetime
from threading import Lock

from app.actions.records import OfferView
from app.store.links import Stamp

_KEPT = 64
# A proposal runs out when a day ends at the site, and days end on a quarter of an hour everywhere.
_STEP_S = 900

Key = tuple[Stamp, int, tuple[str, ...] | None]
_views: OrderedDict[Key, OfferView] = OrderedDict()
_lock = Lock()


def key_of(stamp: Stamp, now: datetime, ticked: tuple[str, ...] | None) -> Key:
    """Give what a view is kept under."""
    return stamp, int(now.timestamp()) // _STEP_S, ticked


def kept_view(key: Key, now: datetime) -> OfferView | None:
    """Give what was kept; None when nothing was, or the link is withdrawn or has run out."""
    stamp = key[0]
    if stamp.revoked_at is not None or now >= stamp.expires_at:
        return None
    with _lock:
        if key in _views:
            _views.move_to_end(key)
        return _views.get(key)


def keep_view(key: Key, view: OfferView) -> None:
    """Keep a view, in place of the one that was looked at longest ago."""
    with _lock:
        _views[key] = view
        while len(_views) > _KEPT:
            _views.popitem(last=False)
