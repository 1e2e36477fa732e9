"""The only rooms that know SQL: the book's file, its ledger table and the lists kept beside it."""
