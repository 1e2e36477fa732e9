"""Words of a person become values here, once for every door: command line, pages, job cards (decision 0054).

Each reader is a pure function. What it cannot read raises ValueError with one sentence for whoever wrote it; each door
says that sentence in its own way. Numbers, torques and lengths themselves are read in `model`, as procedures need them.
"""
