"""What Dawnpack promises, checked."""
