"""What is known and wanted: survey, plan, choices, findings; the job file in and out."""
