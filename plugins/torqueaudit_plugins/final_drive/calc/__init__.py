"""The geometry and the statistics of a final drive; nothing here knows of jobs. Floats: decision 0026."""
