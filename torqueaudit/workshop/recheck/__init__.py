"""After the vehicle left: rides reported, and the look after the first ride."""
