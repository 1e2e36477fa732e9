"""What leaves the program as JSON: a writer for each view, in which every key is written out."""
