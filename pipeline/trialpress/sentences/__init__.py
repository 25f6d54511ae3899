"""What the analyses say, in words."""
