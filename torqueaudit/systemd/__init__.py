"""Unit files of systemd, with which the program runs by itself: what stands in them, and how it is written."""
