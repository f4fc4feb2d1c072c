"""What a person can see, hear or measure."""
