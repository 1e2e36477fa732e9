"""TLS without anybody else: an authority of the workshop's own, what it signs, and the socket that speaks it."""
