"""Records of days, orders, changes and money, as pages and commands get them from actions."""

from app.store.day_records import (
    ChangeOrder,
    Cost,
    Delivery,
    HandoverCopy,
    HeldPlan,
    Invoice,
    JobPromise,
    KeptEdit,
    OrderedLine,
    PhotoCard,
    PurchaseOrder,
    Receipt,
    SecretAddress,
    SpokenChange,
)

__all__ = [
    "ChangeOrder",
    "Cost",
    "Delivery",
    "HandoverCopy",
    "HeldPlan",
    "Invoice",
    "JobPromise",
    "KeptEdit",
    "OrderedLine",
    "PhotoCard",
    "PurchaseOrder",
    "Receipt",
    "SecretAddress",
    "SpokenChange",
]
