"""The log applied: operations in, shares and changes out. The contract is this folder's README.md."""
