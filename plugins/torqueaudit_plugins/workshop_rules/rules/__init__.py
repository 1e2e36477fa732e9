"""The workshop's own rules, one module for each family."""
