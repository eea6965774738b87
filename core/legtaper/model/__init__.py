"""What a project is made of: lengths, the answers, and text made safe to show."""
