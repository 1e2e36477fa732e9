"""A torque wrench: what it is, what its entries say, and how far what it did is known."""
