"""Who there is: accounts, farms with their counters, people, phones, joining slips."""
