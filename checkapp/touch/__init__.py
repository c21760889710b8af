"""The touch app. Importing this room loads no Kivy: its modules do, when a window is wanted."""
