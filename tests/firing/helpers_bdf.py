"""The same cells stepped by scipy's BDF with a sparse Jacobian, as a second route and to measure against."""

import numpy as np
from scipy.integrate import solve_ivp
from scipy.sparse import csr_matrix, lil_matrix

from wareontology.firing.conduction import Solid
from wareontology.redox.arrays import Floats, floats


def matrix(solid: Solid) -> tuple[csr_matrix, Floats]:
    """dT/dt = A T + b of a solid of one member that holds no water."""
    assert solid.shape[2] == 1
    assert solid.latent_j is None
    outward, upward, _ = solid.shape
    index = np.arange(outward * upward).reshape(outward, upward)
    net = lil_matrix((index.size, index.size))
    source = np.zeros(index.size)

    def between(one: int, other: int, conductance: float) -> None:
        for here, there in ((one, other), (other, one)):
            net[here, here] -= conductance
            net[here, there] += conductance

    for i in range(outward):
        for j in range(upward):
            if i + 1 < outward:
                between(index[i, j], index[i + 1, j], float(solid.outward_w_k[i + 1, j, 0]))
            if j + 1 < upward:
                between(index[i, j], index[i, j + 1], float(solid.upward_w_k[i, j + 1, 0]))
            edges = (
                (i == 0, solid.outward_w_k[0, j, 0]), (i == outward - 1, solid.outward_w_k[-1, j, 0]),
                (j == 0, solid.upward_w_k[i, 0, 0]), (j == upward - 1, solid.upward_w_k[i, -1, 0]),
            )  # fmt: skip
            for at_edge, conductance in edges:
                if at_edge:
                    net[index[i, j], index[i, j]] -= conductance
                    source[index[i, j]] += conductance * solid.outside_c[0]
    capacity = solid.capacity_j_k[:, :, 0].ravel()
    scaled = csr_matrix(net).multiply((1 / capacity)[:, np.newaxis])
    return csr_matrix(scaled), floats(source / capacity)


def stepped(
    equations: tuple[csr_matrix, Floats], start_c: Floats, times_s: Floats, relative: float, absolute_k: float
) -> Floats:
    """Temperatures of all cells at the times, (cells, times)."""
    net, source = equations
    found = solve_ivp(
        lambda _, temperature: net @ temperature + source,
        (0, float(times_s[-1])), start_c.ravel(), method="BDF", jac=net, t_eval=times_s,
        rtol=relative, atol=absolute_k,
    )  # fmt: skip
    assert found.success
    return floats(found.y)
