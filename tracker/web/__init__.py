"""The pages: each route turns its input into a command or a question, and shows the answer."""
