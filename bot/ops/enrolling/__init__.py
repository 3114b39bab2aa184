"""How homeowners come to us through operators: links that carry who invited, and lists with proof of consent."""
