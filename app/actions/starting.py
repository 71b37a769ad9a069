"""The job file a new job starts with: a plain roof to be measured, so that every sheet opens."""

from datetime import date
from typing import Any

NOT_MEASURED = "not measured yet"


def starting_document(job_id: str, title: str, today: date, currency: str) -> dict[str, Any]:
    """Give a small job file whose values are placeholders, and say so in its notes."""
    return {
        "schema_version": 1,
        "id": job_id,
        "title": title,
        "units": "metric",
        "currency": currency,
        "notes": "A starting roof of 6 × 4 m. Replace every value with what you measure.",
        "survey": {
            "surveyed_on": today.isoformat(),
            "surveyed_by": NOT_MEASURED,
            "outline": [[0, 0], [6000, 0], [6000, 4000], [0, 4000]],
            "edges": [
                {"id": f"edge-{corner + 1}", "from_corner": corner, "kind": "open", "height": 0}
                for corner in range(4)
            ],
            "spot_heights": [
                {"id": "h1", "x": 0, "y": 0, "z": -230},
                {"id": "h2", "x": 6000, "y": 0, "z": -230},
                {"id": "h3", "x": 6000, "y": 4000, "z": -150},
                {"id": "h4", "x": 0, "y": 4000, "z": -150},
            ],
            "way_up": {
                "kind": "stair",
                "longest_piece": 3600,
                "trip_mass": 40,
                "minutes_per_trip": 10,
                "notes": NOT_MEASURED,
            },
            "membrane": {"kind": NOT_MEASURED},
            "temperatures": {"lowest": -20, "highest": 60, "fitting": 15, "source": NOT_MEASURED},
        },
        "plan": {},
        "choices": {},
    }
