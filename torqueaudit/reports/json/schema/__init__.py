"""What the writers of JSON write, as JSON Schema (draft 2020-12): a module for each subject, keys in their order."""
