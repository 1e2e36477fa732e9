"""Every act on a job, until the vehicle leaves."""
