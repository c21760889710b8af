"""The rig as a picture: boxes at their places on the stage, hops, volts and findings."""
