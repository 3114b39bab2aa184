"""The operators' web page: server-rendered, signed in, with roles and a record of who did what."""
