"""What several screens draw."""
