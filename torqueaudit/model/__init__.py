"""What a job is and what may be said of it: no clock, no file, no SQL, no plugin manager."""
