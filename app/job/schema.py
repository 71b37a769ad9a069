"""The published schema of the job file, made from the records themselves."""

from typing import Any

from app.job.job import SCHEMA_VERSION, Job


def schema() -> dict[str, Any]:
    """Give the JSON Schema of the job file.

    Returns
    -------
    schema : dict
        Draft 2020-12. It shows the form only: what values say about each other, and units in text,
        is looked at by `read_job`.

    References
    ----------
    JSON Schema, draft 2020-12.
    """
    made = Job.model_json_schema(by_alias=True, mode="validation")
    head = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"Upstand job file, version {SCHEMA_VERSION}",
    }
    return head | {key: value for key, value in made.items() if key != "title"}
