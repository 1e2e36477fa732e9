"""The look after the first ride: when it is due, and what is still to look at."""
