"""From a picture, a video, the camera or a hand scanner to codes, and from a code to what it is in a rig."""
