"""Originals by digest: put in, found again, checked. Bytes are durable before anything speaks of them."""
