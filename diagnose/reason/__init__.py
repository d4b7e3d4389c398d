"""The reasoning core: chaining, belief, advice and questions. It knows kinds of things, not orchids."""
