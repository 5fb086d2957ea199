"""The collection for programs: commands as requests, answers as values, the document that describes both (OpenAPI 3.1)."""
