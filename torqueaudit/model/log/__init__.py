"""The log of an electronic torque wrench: its rows as a plugin reads them, and the mapping that says what they mean."""
