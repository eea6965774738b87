"""What is asked, what an answer means and what it does: the wizard without any terminal."""
