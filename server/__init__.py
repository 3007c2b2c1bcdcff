"""The Django project: the book of each farm, the contract with the phones, the manager's pages."""
