"""The post: what is told to others, webhooks and mail, out of the ledger's outbox.

In: messages that are due. Out: messages taken, put off or given up, each written down. What is
told may come twice and says so by its id; nothing is lost because a receiver was away.
"""
