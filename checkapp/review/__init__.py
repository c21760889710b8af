"""Will the plan work: one module per family of findings, and the electrical solver behind link power."""
