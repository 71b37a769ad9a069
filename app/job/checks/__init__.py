"""Checks on a whole job file: what each value alone cannot show. All faults are gathered, not the first."""
