"""A job: what may be said of it, the facts its entries hold, and the record they fold into."""
