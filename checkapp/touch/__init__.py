"""The touch app. Importing this package loads no toolkit; `checkapp.touch.start` does, when it is told to run."""
