"""A voice-guided, hands-free crochet coach: reads a written pattern, proves it, and reads it out stitch by stitch."""

__version__ = "0.1.0"
