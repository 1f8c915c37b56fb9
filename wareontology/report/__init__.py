"""What is handed to a person: answers of the laws as data and as text."""
