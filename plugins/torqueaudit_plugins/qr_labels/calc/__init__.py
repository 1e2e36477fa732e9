"""Where everything stands on one label, in whole printer dots."""
