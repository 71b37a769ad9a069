"""Forms drawn from the records of the job file: one mechanism for every field there is."""
