"""The pages, by where one stands: in the aisle, at the table, looking ahead."""
