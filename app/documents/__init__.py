"""Proposal and day plan: records in, HTML through a template, PDF out."""
