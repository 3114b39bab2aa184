"""The subcommands of `afterfrost`, one module each, imported only when called."""
