"""Published values from ``shared/reference``, each with its source, as frozen records."""
