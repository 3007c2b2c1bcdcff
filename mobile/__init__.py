"""The phone app. It records with no network at all and hands in when there is one."""
