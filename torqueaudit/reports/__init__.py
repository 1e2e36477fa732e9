"""Reports as files: HTML, PDF, JSON and CSV, each made from one content that workshop/ has answered."""
