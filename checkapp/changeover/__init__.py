"""From one rig to the next: what changes, and what is plugged again."""
