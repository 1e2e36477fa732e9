"""Label stocks, templates and the bundled font: data only."""
