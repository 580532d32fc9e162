"""Ways to find and describe keypoints, one module each; `asfound.core.match.method` finds them."""
