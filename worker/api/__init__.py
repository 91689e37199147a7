"""The HTTP door: what the office's systems and the crews' phones ask of the office.

In: HTTP requests with a key, bodies in JSON. Out: the same answers as at the command line, as
JSON, PDF or a problem document (RFC 9457), each with a tag by which a change is made only to
what its sender has seen (RFC 9110). Nothing is computed here and nothing is sent to the queue.
"""
