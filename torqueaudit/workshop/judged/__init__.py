"""What is judged today: findings, what comes next, and the pictures that every door shows."""
