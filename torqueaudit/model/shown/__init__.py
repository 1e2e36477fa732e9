"""What every door shows: frozen pictures of a job, its passes, a wrench, a label, a night."""
