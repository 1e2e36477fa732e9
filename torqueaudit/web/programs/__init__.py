"""What other programs are given: data at the addresses of the pages, its description, the ledger from a number on."""
