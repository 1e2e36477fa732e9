"""Files of rows, such as the log of a torque wrench: the rows as a plugin reads them, and what a mapping says."""
