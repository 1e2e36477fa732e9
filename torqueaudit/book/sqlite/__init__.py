"""What is SQLite's alone: its file, connections and locks, and the SQL that another engine words otherwise."""
