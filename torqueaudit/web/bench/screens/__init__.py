"""One file for each kind of screen: what it shows, and the act that its form tells."""
