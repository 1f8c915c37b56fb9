"""The tables every redox test is handed, loaded once."""

import pytest

from wareontology.paths import data
from wareontology.redox import constants as constants_module
from wareontology.redox import fire_gas
from wareontology.redox.constants import Constants
from wareontology.redox.fire_gas import GasTable


@pytest.fixture(scope="session")
def constants() -> Constants:
    return constants_module.load(data("constants.csv"))


@pytest.fixture(scope="session")
def gas_table() -> GasTable:
    return fire_gas.load(data("gas.csv"))
