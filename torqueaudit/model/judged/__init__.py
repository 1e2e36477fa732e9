"""What rules say of a job: findings, the act that answers each, what a rule may know, and what is said together."""
