"""What rules say of a job: findings, what a rule may know, and how findings are said together."""
