"""The revisions, in order. One that has been released is never changed."""
