"""`python -m wareontology`: the same as the command `wareontology`."""

from wareontology.cli import main

if __name__ == "__main__":
    main()
