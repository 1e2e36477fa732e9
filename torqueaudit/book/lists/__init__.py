"""The cross-job lists: the rows that each subject gives, and how they are kept equal to the ledger."""
