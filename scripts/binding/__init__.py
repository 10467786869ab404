"""What makes a book of the handbook's pages: its looks, its plate, its index."""
