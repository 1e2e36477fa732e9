"""The office: pages on which a foreman keeps people, wrenches, settings, labels, motorcycles and devices."""
