"""The compiled kernel: planes that cut bodies, and the attitude in which weight and buoyancy share one vertical line.

One file with no compiled function from elsewhere, since the cache of compiled code looks at this file only. Entries:
`cut_many` and `float_many`; a single cut or float is a batch of one. Everything here works on plain arrays about one
common origin; units are SI, the plane is n.r = d with |n| = 1, and wet means n.r < d, strictly.

A cut. With a = int n.N, m_i = int r_i n.N, t_ij = int r_i r_j n.N over the wet surface (N dA the outward area element),
w = n.r - d vanishes on the plane and has the gradient n, so the divergence theorem gives, with no cap:
    volume V = n.m - d a                                   of the field w n
    int w dV = (n.t.n - 2 d n.m + d^2 a) / 2 =: W          of w^2/2 n
    int r dV = t n - d m - n W                             of r w n, row by row
    waterplane area S = -a; int r dS = n V - m; in the plane int r r^T dS = -t.

Floating. The energy E(n, d) = sum m_i (n.g_i - d) - rho W, with each liquid level in its tank at its volume, has the
gradient f = sum m - rho V along d (turned in sign) and, for a turn s of n about the centre of flotation F,
s.(sum m g - rho int r dV - F f); there its second derivative is K = rho I_F - sum rho_t I_t + (rho W - sum m w) 1.
Plane and offset are solved together by Newton's method with |eigenvalues| of K, downhill in E.
"""

from __future__ import annotations

import numba
import numpy as np


def compiled(function):
    """Compile, and keep the result on disk where there is somewhere to keep it."""
    inner = function.__name__.startswith("_")  # called from this file only: no way in from Python to compile
    options = {
        "nogil": True,
        "fastmath": {"contract"},
        "error_model": "numpy",
        "no_cpython_wrapper": inner,
        "no_cfunc_wrapper": inner,
    }
    try:
        return numba.njit(cache=True, **options)(function)
    except RuntimeError:  # nowhere to write: compile in each process
        return numba.njit(**options)(function)


# What a section of a body holds, about the common origin.
VOLUME, AREA, HEIGHTS = 0, 1, 2  # V, S, W
MOMENT, PLANE_MOMENT = 3, 6  # int r dV (3), int r dS (3)
PLANE_SECOND = 9  # int r r^T dS in the plane (xx yy zz xy xz yz)
SECTION = 15

# What is known of a state at a plane.
FORCE, TURN_U, TURN_V, ENERGY = 0, 1, 2, 3  # f, the gradient along u and v, E
K_UU, K_UV, K_VV = 4, 5, 6
SLACK_UU, SLACK_UV, SLACK_VV = 7, 8, 9  # sum rho_t I_t of the free surfaces
FLOTATION = 10  # F (3)
WEIGHT_MOMENT = 13  # sum m g with liquids (3)
MASS, WET_VOLUME, WATERPLANE = 16, 17, 18
BUOYANCY_MOMENT = 19  # int r dV (3)
SPILL = 22  # change of (mass, moment about F along u and v) with a turn along u and v, standpipe tanks only (3 x 2)
INERTIA_VV = 28  # rho times the waterplane's second moment along v
FIRST_STIFFNESS = 29  # K_VV as a part of INERTIA_VV at the first plane tried
STATE = 30

# What is known of a liquid: mass, centre (3), surface offset, surface area, its centre (3), second moment about it.
LIQUID_MASS, LIQUID_CENTRE, LIQUID_OFFSET, LIQUID_AREA, LIQUID_FLOTATION, LIQUID_SECOND = 0, 1, 4, 5, 6, 9
LIQUID = 15

FLOATS, SINKS, UNANSWERED, WEIGHTLESS = 0, 1, 2, 3  # outcomes
AS_IT_IS, DOWNHILL, NEARER = 0, 1, 2  # how a plane tried is judged: not at all, by energy, by the residual

ROUNDING = 2.3e-16
CONVERGED = 1e-12  # step, as a slope and as a part of the length
AT_REST = 3e-15  # residual, as a part of weight and weight times length: rounding of the sums themselves
STALLED = 1e-10  # a residual this small that no step improves is the best that rounding leaves
ADRIFT = 1e-9  # with standpipes giving and taking there is no energy: above this residual she follows the flow
SYMMETRY = 1e-14  # what lies across the boat below this is rounding: a symmetric boat heels by exactly nothing
BLURRED = 1e-12  # a fall of energy below this part of weight times length drowns in its rounding
LONGEST_TURN, SMALLEST_REACH, SHORTEST_TURN = 0.2, 1e-3, 1e-9  # slopes
PUSH, SHORTEST_PUSH = 0.05, 5e-6  # off a saddle
LIMIT = 300


# Loops instead of array expressions: the same machine code for a fifth of the time to compile it.


@compiled
def _set(to, value):
    for i in range(len(to)):
        to[i] = value


@compiled
def _any(flags):
    for flag in flags:  # noqa: SIM110
        if flag:
            return True
    return False


@compiled
def _copy(source, to):
    for i in range(len(to)):
        to[i] = source[i]


@compiled
def _add(part, p, q, r, corners, ten):
    """Add a triangle's integrals: `part` = n.N of it, its corners in rows p, q, r."""
    ten[0] += part
    third, twelfth = part / 3, part / 12
    px, py, pz = corners[p, 0], corners[p, 1], corners[p, 2]
    qx, qy, qz = corners[q, 0], corners[q, 1], corners[q, 2]
    rx, ry, rz = corners[r, 0], corners[r, 1], corners[r, 2]
    sx, sy, sz = px + qx + rx, py + qy + ry, pz + qz + rz
    ten[1] += third * sx
    ten[2] += third * sy
    ten[3] += third * sz
    ten[4] += twelfth * (px * px + qx * qx + rx * rx + sx * sx)
    ten[5] += twelfth * (py * py + qy * qy + ry * ry + sy * sy)
    ten[6] += twelfth * (pz * pz + qz * qz + rz * rz + sz * sz)
    ten[7] += twelfth * (px * py + qx * qy + rx * ry + sx * sy)
    ten[8] += twelfth * (px * pz + qx * qz + rx * rz + sx * sz)
    ten[9] += twelfth * (py * pz + qy * qz + ry * rz + sy * sz)
    ten[10] += abs(part)


@compiled
def _meet(wet, dry, heights, corners, to):
    """Where an edge meets the plane, reckoned from its wet end: the same to the bit in both triangles that share it."""
    share = heights[wet] / (heights[wet] - heights[dry])
    for i in range(3):
        corners[to, i] = corners[wet, i] + share * (corners[dry, i] - corners[wet, i])
    return share


@compiled
def _sweep(trees, body, nx, ny, nz, d, ten):
    """a, m (3), t (6: xx yy zz xy xz yz) and the sum of |n.N| of a body's wet surface, about the body's own origin."""
    boxes, sums, skip, first, count, triangles, areas, roots, _ = trees
    _set(ten, 0.0)
    corners = np.empty((5, 3))
    heights = np.empty(3)
    node, end = roots[body], roots[body + 1]
    while node < end:
        middle = nx * boxes[node, 0] + ny * boxes[node, 1] + nz * boxes[node, 2] - d
        reach = abs(nx) * boxes[node, 3] + abs(ny) * boxes[node, 4] + abs(nz) * boxes[node, 5]
        reach += 4 * ROUNDING * (abs(d) + abs(middle) + reach)
        if middle - reach > 0:
            node = skip[node]
            continue
        if middle + reach < 0:
            for k in range(10):
                ten[k] += nx * sums[node, 3 * k] + ny * sums[node, 3 * k + 1] + nz * sums[node, 3 * k + 2]
            ten[10] += abs(nx * sums[node, 0] + ny * sums[node, 1] + nz * sums[node, 2])
            node = skip[node]
            continue
        for t in range(first[node], first[node] + count[node]):
            wet = 0
            for c in range(3):
                x, y, z = triangles[t, 3 * c], triangles[t, 3 * c + 1], triangles[t, 3 * c + 2]
                corners[c, 0], corners[c, 1], corners[c, 2] = x, y, z
                heights[c] = nx * x + ny * y + nz * z - d
                wet += heights[c] < 0
            if wet == 0:
                continue
            part = nx * areas[t, 0] + ny * areas[t, 1] + nz * areas[t, 2]
            p, q, r, second = 0, 1, 2, 0.0
            if wet < 3:
                odd = np.int64(0)  # the corner that is alone on its side of the plane
                for c in range(1, 3):
                    if (heights[c] < 0) == (wet == 1):
                        odd = c
                b, c = (odd + 1) % 3, (odd + 2) % 3
                if wet == 1:
                    p, q, r = odd, 3, 4
                    part *= _meet(odd, b, heights, corners, 3) * _meet(odd, c, heights, corners, 4)
                else:
                    p, q, r = b, c, 3
                    share = _meet(b, odd, heights, corners, 3)
                    second = part * _meet(c, odd, heights, corners, 4) * (1 - share)
                    part *= share
            while part != 0:  # the wet part is one triangle or two
                _add(part, p, q, r, corners, ten)
                part, p, q, r, second = second, q, 4, 3, 0.0
        node += 1


@compiled
def _cut(trees, body, n, d, section):
    """The section of one body by the plane n.r = d: volume, waterplane and their moments about the common origin."""
    at = trees[8][body]
    nx, ny, nz = n[0], n[1], n[2]
    d -= nx * at[0] + ny * at[1] + nz * at[2]
    ten = np.empty(11)
    _sweep(trees, body, nx, ny, nz, d, ten)
    m = ten[1:4]
    tnx = ten[4] * nx + ten[7] * ny + ten[8] * nz
    tny = ten[7] * nx + ten[5] * ny + ten[9] * nz
    tnz = ten[8] * nx + ten[9] * ny + ten[6] * nz
    nm, ntn = nx * m[0] + ny * m[1] + nz * m[2], nx * tnx + ny * tny + nz * tnz
    volume = max(nm - d * ten[0], 0.0)
    area = -ten[0]
    if area <= 8 * ROUNDING * ten[10]:
        area = 0.0
    heights = (ntn - 2 * d * nm + d * d * ten[0]) / 2
    section[VOLUME], section[AREA], section[HEIGHTS] = volume, area, heights
    section[MOMENT] = tnx - d * m[0] - nx * heights + at[0] * volume
    section[MOMENT + 1] = tny - d * m[1] - ny * heights + at[1] * volume
    section[MOMENT + 2] = tnz - d * m[2] - nz * heights + at[2] * volume
    if area == 0.0:
        _set(section[PLANE_MOMENT:SECTION], 0.0)
        return
    px, py, pz = nx * volume - m[0], ny * volume - m[1], nz * volume - m[2]
    # in the plane only: with Q = 1 - n n^T, -Q t Q = -t + n (t n)^T + (t n) n^T - n n^T (n.t.n)
    xx = -ten[4] + 2 * nx * tnx - nx * nx * ntn
    yy = -ten[5] + 2 * ny * tny - ny * ny * ntn
    zz = -ten[6] + 2 * nz * tnz - nz * nz * ntn
    xy = -ten[7] + nx * tny + ny * tnx - nx * ny * ntn
    xz = -ten[8] + nx * tnz + nz * tnx - nx * nz * ntn
    yz = -ten[9] + ny * tnz + nz * tny - ny * nz * ntn
    # to the common origin, with the shift and the first moment also taken in the plane
    out = nx * at[0] + ny * at[1] + nz * at[2]
    ax, ay, az = at[0] - out * nx, at[1] - out * ny, at[2] - out * nz
    out = nx * px + ny * py + nz * pz
    qx, qy, qz = px - out * nx, py - out * ny, pz - out * nz
    section[PLANE_MOMENT] = px + at[0] * area
    section[PLANE_MOMENT + 1] = py + at[1] * area
    section[PLANE_MOMENT + 2] = pz + at[2] * area
    section[PLANE_SECOND] = xx + 2 * ax * qx + ax * ax * area
    section[PLANE_SECOND + 1] = yy + 2 * ay * qy + ay * ay * area
    section[PLANE_SECOND + 2] = zz + 2 * az * qz + az * az * area
    section[PLANE_SECOND + 3] = xy + ax * qy + ay * qx + ax * ay * area
    section[PLANE_SECOND + 4] = xz + ax * qz + az * qx + ax * az * area
    section[PLANE_SECOND + 5] = yz + ay * qz + az * qy + ay * az * area


@compiled
def _sum(trees, first, last, signs, n, d, one, section):
    """The sections of the bodies first..last-1 by one plane, each with its sign; `one` is room to work in."""
    _set(section, 0.0)
    for body in range(first, last):
        _cut(trees, body, n, d, one)
        for i in range(SECTION):
            section[i] += signs[body] * one[i]


@compiled
def cut_many(trees, body, normals, offsets, sections):
    """Sections of one body by many planes: normals (k, 3), offsets (k,) about the common origin -> sections (k, 15)."""
    for k in range(len(offsets)):
        _cut(trees, body, normals[k], offsets[k], sections[k])


@compiled
def _span(trees, body, n):
    """Lowest and highest offset at which a plane of normal n meets the body's box."""
    boxes, roots, at = trees[0], trees[7], trees[8][body]
    root = roots[body]
    middle = reach = 0.0
    for i in range(3):
        middle += n[i] * (at[i] + boxes[root, i])
        reach += abs(n[i]) * boxes[root, 3 + i]
    return middle - reach, middle + reach


@compiled
def _content(trees, body):
    """Volume of a whole body [m3]."""
    root = trees[7][body]
    return (trees[1][root, 3] + trees[1][root, 7] + trees[1][root, 11]) / 3


@compiled
def _level(trees, first, last, signs, n, target, guess, section):
    """The offset at which the bodies first..last-1, each with its sign, hold `target` m3 below the plane.

    Newton's method on the volume, whose slope is the waterplane, in a bracket that is halved where Newton leaves it.
    Returns the offset and the number of planes tried.
    """
    low, high = np.inf, -np.inf
    for body in range(first, last):
        body_low, body_high = _span(trees, body, n)
        low, high = min(low, body_low), max(high, body_high)
    size = high - low
    one = np.empty(SECTION)
    total = 0.0
    for body in range(first, last):
        total += signs[body] * _content(trees, body)
    if target >= total * (1 - 4 * ROUNDING):  # full to the top
        guess = high + 1e-9 * size
        low = high = guess
    d = guess
    if not low <= d <= high:
        d = (low + high) / 2
    tries = 0
    while tries < 100:
        tries += 1
        _sum(trees, first, last, signs, n, d, one, section)
        excess = section[VOLUME] - target
        if excess > 0:
            high = d
        else:
            low = d
        step = -excess / section[AREA] if section[AREA] > 0 else np.inf
        if abs(excess) <= 4 * ROUNDING * target or abs(step) <= 2 * ROUNDING * size:
            break
        if low < d + step < high:
            d += step
        elif high - low > 2 * ROUNDING * size:
            d = (low + high) / 2
        else:
            break
    return d, tries


@compiled
def _level_frame(n, u, v):
    """u = the x axis levelled and v = n x u; where x stands upright, the z axis serves instead."""
    flat = 1 - n[0] * n[0]
    if flat > 1e-12:
        u[0], u[1], u[2] = flat, -n[0] * n[1], -n[0] * n[2]
    else:
        flat = 1 - n[2] * n[2]
        u[0], u[1], u[2] = -n[2] * n[0], -n[2] * n[1], flat
    length = np.sqrt(u[0] * u[0] + u[1] * u[1] + u[2] * u[2])
    for i in range(3):
        u[i] /= length
    v[0] = n[1] * u[2] - n[2] * u[1]
    v[1] = n[2] * u[0] - n[0] * u[2]
    v[2] = n[0] * u[1] - n[1] * u[0]


@compiled
def _dot(a, b):
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


@compiled
def _form(second, at, a, b):
    """a.J.b of a symmetric matrix that stands as xx yy zz xy xz yz from index `at`."""
    return (
        second[at] * a[0] * b[0]
        + second[at + 1] * a[1] * b[1]
        + second[at + 2] * a[2] * b[2]
        + second[at + 3] * (a[0] * b[1] + a[1] * b[0])
        + second[at + 4] * (a[0] * b[2] + a[2] * b[0])
        + second[at + 5] * (a[1] * b[2] + a[2] * b[1])
    )


@compiled
def _pour(trees, body, n, density, volume, lip, spilling, signs, liquid):
    """Level one tank's liquid with the sea: at its volume, or up to its standpipe's lip."""
    section = np.empty(SECTION)
    if spilling:
        d = _dot(n, lip)
        _cut(trees, body, n, d, section)
        volume = section[VOLUME]
    else:
        guess = _dot(n, liquid[LIQUID_FLOTATION : LIQUID_FLOTATION + 3]) if liquid[LIQUID_AREA] > 0 else np.nan
        d, _ = _level(trees, body, body + 1, signs, n, volume, guess, section)
    liquid[LIQUID_MASS] = density * volume
    liquid[LIQUID_OFFSET] = d
    liquid[LIQUID_AREA] = section[AREA]
    for i in range(3):
        liquid[LIQUID_CENTRE + i] = section[MOMENT + i] / section[VOLUME] if section[VOLUME] > 0 else 0.0
        liquid[LIQUID_FLOTATION + i] = section[PLANE_MOMENT + i] / section[AREA] if section[AREA] > 0 else 0.0
    _copy(section[PLANE_SECOND:SECTION], liquid[LIQUID_SECOND:LIQUID])


@compiled
def _balance(trees, signs, densities, volumes, lips, spills, frozen, mass, cg, rho, n, d, length, state, liquids):
    """Weigh boat against sea at one plane: fills `state` and `liquids`. `frozen`: standpipe tanks keep `volumes`."""
    u, v, arm = np.empty(3), np.empty(3), np.empty(3)
    _level_frame(n, u, v)
    total, one = np.empty(SECTION), np.empty(SECTION)
    _sum(trees, len(densities), len(signs), signs, n, d, one, total)
    weight = mass
    moment = state[WEIGHT_MOMENT : WEIGHT_MOMENT + 3]
    for i in range(3):
        moment[i] = mass * cg[i]
    for t in range(len(densities)):
        spilling = spills[t] and not frozen
        if volumes[t] > 0 or spilling:
            _pour(trees, t, n, densities[t], volumes[t], lips[t], spilling, signs, liquids[t])
            weight += liquids[t, LIQUID_MASS]
            for i in range(3):
                moment[i] += liquids[t, LIQUID_MASS] * liquids[t, LIQUID_CENTRE + i]
        else:
            _set(liquids[t], 0.0)
    area, volume = total[AREA], total[VOLUME]
    flotation = state[FLOTATION : FLOTATION + 3]
    force = weight - rho * volume
    for i in range(3):
        flotation[i] = total[PLANE_MOMENT + i] / area if area > 0 else d * n[i]
        state[BUOYANCY_MOMENT + i] = total[MOMENT + i]
        arm[i] = moment[i] - rho * total[MOMENT + i] - force * flotation[i]
    upright = rho * total[HEIGHTS] - (_dot(n, moment) - d * weight)
    flat_u, flat_v = _dot(u, flotation), _dot(v, flotation)
    for a, b, entry, slack in ((u, u, K_UU, SLACK_UU), (u, v, K_UV, SLACK_UV), (v, v, K_VV, SLACK_VV)):
        inertia = rho * (_form(total, PLANE_SECOND, a, b) - area * _dot(a, flotation) * _dot(b, flotation))
        state[slack] = 0.0
        for t in range(len(densities)):
            if liquids[t, LIQUID_AREA] > 0:
                state[slack] += densities[t] * _slack(liquids[t], a, b)
        state[entry] = inertia - state[slack]
    state[INERTIA_VV] = state[K_VV] + state[SLACK_VV]
    state[K_UU] += upright
    state[K_VV] += upright
    state[FORCE], state[TURN_U], state[TURN_V] = force, _dot(u, arm), _dot(v, arm)
    state[ENERGY] = _dot(n, moment) - d * weight - rho * total[HEIGHTS]
    # what lies across a symmetric boat is rounding only
    if abs(state[TURN_V]) < SYMMETRY * weight * length:
        state[TURN_V] = 0.0
    if abs(state[K_UV]) < SYMMETRY * (abs(state[K_UU]) + rho * area * length * length):
        state[K_UV] = 0.0
    state[MASS], state[WET_VOLUME], state[WATERPLANE] = weight, volume, area
    _set(state[SPILL : SPILL + 6], 0.0)
    if not frozen:
        for t in range(len(densities)):
            if spills[t] and liquids[t, LIQUID_AREA] > 0:
                _spill(liquids[t], densities[t], lips[t], u, v, flat_u, flat_v, state)


@compiled
def _slack(liquid, a, b):
    """A free surface's second moment about its own centre, along a and b."""
    surface = liquid[LIQUID_FLOTATION : LIQUID_FLOTATION + 3]
    return _form(liquid, LIQUID_SECOND, a, b) - liquid[LIQUID_AREA] * _dot(a, surface) * _dot(b, surface)


@compiled
def _spill(liquid, density, lip, u, v, flat_u, flat_v, state):
    """What a standpipe tank gives and takes as it turns about its lip: dV = -int (s.(r - lip)) dS.

    `flat_u`, `flat_v` place F along u and v. The share of constant volume stands in K already and is left out.
    """
    surface, area = liquid[LIQUID_FLOTATION : LIQUID_FLOTATION + 3], liquid[LIQUID_AREA]
    for column in range(2):
        s = u if column == 0 else v
        lever = _dot(s, surface) - _dot(s, lip)
        state[SPILL + column] -= density * area * lever
        for row in range(2):
            a, flat = (u, flat_u) if row == 0 else (v, flat_v)
            state[SPILL + 2 + 2 * row + column] -= density * area * (_dot(a, surface) - flat) * lever


@compiled
def _step(state, rho, hold, spilling, step):
    """Newton's step: what to add to the height of F above the sea, slopes along u and v; downhill where E curves down.

    Returns the least eigenvalue of the stiffness for turns that are free.
    """
    k_uu, k_uv, k_vv = state[K_UU], state[K_UV], state[K_VV]
    size = abs(k_uu) + abs(k_vv) + state[SLACK_UU] + state[SLACK_VV]
    floor = 1e-13 * size
    if hold:
        least = k_uu
        step[1], step[2] = -state[TURN_U] / max(abs(k_uu), floor), 0.0
    else:
        mean, half = (k_uu + k_vv) / 2, (k_uu - k_vv) / 2
        root = np.sqrt(half * half + k_uv * k_uv)
        least = mean - root
        if k_uv == 0.0:
            step[1] = -state[TURN_U] / max(abs(k_uu), floor)
            step[2] = -state[TURN_V] / max(abs(k_vv), floor)
        else:
            angle = np.arctan2(k_uv, half) / 2
            cos, sin = np.cos(angle), np.sin(angle)
            along = (cos * state[TURN_U] + sin * state[TURN_V]) / max(abs(mean + root), floor)
            across = (cos * state[TURN_V] - sin * state[TURN_U]) / max(abs(least), floor)
            step[1] = -(cos * along - sin * across)
            step[2] = -(sin * along + cos * across)
    step[0] = -state[FORCE] / (rho * state[WATERPLANE]) if state[WATERPLANE] > 0 else 0.0
    if spilling and state[WATERPLANE] > 0:
        _spilling_step(state, rho, hold, step)
    return least


@compiled
def _spilling_step(state, rho, hold, step):
    """The same with the water that standpipe tanks give and take: mass changes with the attitude, K is lopsided.

    There is no energy to fall; far from rest the step is damped so that it follows the turn she would begin with.
    """
    s = state[SPILL : SPILL + 6]
    tug = np.sqrt(state[TURN_U] * state[TURN_U] + state[TURN_V] * state[TURN_V]) / LONGEST_TURN
    a, e = state[K_UU] + s[2] + tug, state[K_VV] + s[5] + tug
    b, c = state[K_UV] + s[3], state[K_UV] + s[4]
    if hold:
        step[1], step[2] = -state[TURN_U] / a, 0.0
    else:
        det = a * e - b * c
        step[1] = -(e * state[TURN_U] - b * state[TURN_V]) / det
        step[2] = -(a * state[TURN_V] - c * state[TURN_U]) / det
    step[0] = -(state[FORCE] + s[0] * step[1] + s[1] * step[2]) / (rho * state[WATERPLANE])


@compiled
def _turned(n, d, flotation, step, scale, new_n):
    """Add `scale` times step[0] to the height of F, turn the plane there by the slopes step[1:]; returns its offset."""
    u, v, turn = np.empty(3), np.empty(3), np.empty(3)
    _level_frame(n, u, v)
    for i in range(3):
        turn[i] = scale * (step[1] * u[i] + step[2] * v[i])
    length = np.sqrt(1 + _dot(turn, turn))
    for i in range(3):
        new_n[i] = (n[i] + turn[i]) / length
    return (d - scale * step[0] + _dot(turn, flotation)) / length


@compiled
def _residual(state, length, hold):
    """How far from rest, as a part of the weight and of weight times length."""
    turn = abs(state[TURN_U])
    if not hold:
        turn = np.sqrt(turn * turn + state[TURN_V] * state[TURN_V])
    return max(abs(state[FORCE]), turn / length) / state[MASS]


@compiled
def _push(state, n, step):
    """A turn off a saddle in which E falls: to starboard where it heels her (then it answers True), else bow up."""
    u, v = np.empty(3), np.empty(3)
    _level_frame(n, u, v)
    angle = np.arctan2(state[K_UV], (state[K_UU] - state[K_VV]) / 2) / 2
    step[0], step[1], step[2] = 0.0, -np.sin(angle), np.cos(angle)
    heels = step[1] * u[1] + step[2] * v[1]
    raises = step[1] * u[0] + step[2] * v[0]
    across = abs(heels) > 1e-9
    scale = PUSH if (heels if across else raises) > 0 else -PUSH
    step[1] *= scale
    step[2] *= scale
    return across


@compiled
def _launch(trees, signs, densities, volumes, lips, spills, mass, n, state, liquids):
    """Total weight at the start in state[MASS], standpipe tanks full to their lips; capacity [m3] and length [m]."""
    tanks = len(densities)
    capacity, length = 0.0, 0.0
    for body in range(tanks, len(signs)):
        capacity += signs[body] * _content(trees, body)
        for i in range(3):
            length = max(length, 2 * trees[0][trees[7][body], 3 + i])
    section = np.empty(SECTION)
    state[MASS], state[FIRST_STIFFNESS] = mass, np.nan
    for t in range(tanks):
        _set(liquids[t], 0.0)
        if spills[t]:
            _cut(trees, t, n, _dot(n, lips[t]), section)
            volumes[t] = section[VOLUME]
        state[MASS] += densities[t] * volumes[t]
    return capacity, length


@compiled
def _adopt(new_n, new_d, trial, trial_liquids, plane, state, liquids):
    """Take a plane that was tried for the present one."""
    _copy(new_n, plane[:3])
    plane[3] = new_d
    _copy(trial[:FIRST_STIFFNESS], state[:FIRST_STIFFNESS])
    for t in range(len(liquids)):
        _copy(trial_liquids[t], liquids[t])
    if np.isnan(state[FIRST_STIFFNESS]):
        state[FIRST_STIFFNESS] = state[K_VV] / state[INERTIA_VV]


@compiled
def _float_one(trees, signs, densities, volumes, lips, spills, mass, cg, rho, hold, frozen, plane, state, liquids):
    """Float one boat from the plane given in `plane` (4): fills it, `state` and `liquids`.

    `frozen`: first downhill in energy with the water that standpipe tanks hold at the start, and only then with what
    they give and take. Returns the outcome, the walks over the hull's triangles, and whether she was pushed off a
    balance with level beam.
    """
    n, new_n, step = plane[:3], np.empty(3), np.empty(3)
    trial, trial_liquids, section = np.empty(STATE), np.empty(liquids.shape), np.empty(SECTION)
    flotation, tanks = state[FLOTATION : FLOTATION + 3], len(densities)
    capacity, length = _launch(trees, signs, densities, volumes, lips, spills, mass, n, state, liquids)
    capacity *= rho * (1 - ROUNDING)
    length = max(length, np.sqrt(_dot(cg, cg)))
    spilling = _any(spills)
    frozen = frozen and spilling
    if state[MASS] <= 0:
        return WEIGHTLESS, 0, False
    if state[MASS] >= capacity:
        return SINKS, 0, False
    walks, fell, thaws = 0, False, 0
    new_d = plane[3]
    _copy(n, new_n)
    if not np.isfinite(new_d):
        new_d, walks = _level(trees, tanks, len(signs), signs, n, state[MASS] / rho, np.nan, section)
    judge, pushing, scale, longest, slope, turn, residual = AS_IT_IS, False, 1.0, LONGEST_TURN, 0.0, 0.0, np.inf
    while walks < LIMIT:
        for t in range(tanks):
            _copy(liquids[t], trial_liquids[t])
        _balance(
            trees, signs, densities, volumes, lips, spills, frozen, mass, cg, rho,
            new_n, new_d, length, trial, trial_liquids,
        )  # fmt: skip
        walks += 1
        gain = trial[ENERGY] - state[ENERGY]
        if judge == DOWNHILL:
            better = gain < min(1e-4 * slope, 0.0)
        else:
            better = judge == AS_IT_IS or _residual(trial, length, hold) < residual
        if better:
            if judge == DOWNHILL and gain < 0.5 * slope and scale * turn > 0.9 * longest:
                longest = min(2 * longest, 2 * LONGEST_TURN)
            _adopt(new_n, new_d, trial, trial_liquids, plane, state, liquids)
        elif scale * turn > (SHORTEST_PUSH if pushing else SHORTEST_TURN) and (judge == DOWNHILL or residual > STALLED):
            shrink = 0.25
            if slope < 0 and gain > slope:
                shrink = min(max(-slope / (2 * (gain - slope)), 0.1), 0.5)
            scale *= shrink
            longest = max(scale * turn, SMALLEST_REACH)
            new_d = _turned(n, plane[3], flotation, step, scale, new_n)
            continue
        elif pushing:  # balanced alike on all sides
            return FLOATS, walks, fell
        elif residual > STALLED:
            return UNANSWERED, walks, fell
        if state[MASS] >= capacity:
            return SINKS, walks, fell
        if state[WATERPLANE] <= 0:  # wholly in or out of the water: find the level at this attitude
            new_d, tries = _level(trees, tanks, len(signs), signs, n, state[MASS] / rho, np.nan, section)
            walks += tries
            if section[AREA] <= 0:
                return UNANSWERED, walks, fell
            judge = AS_IT_IS
            _copy(n, new_n)
            continue
        thawed = spilling and not frozen
        least = _step(state, rho, hold, thawed, step)
        turn = np.sqrt(step[1] * step[1] + step[2] * step[2])
        residual = _residual(state, length, hold)
        at_rest = residual <= AT_REST or (turn <= CONVERGED and abs(step[0]) <= CONVERGED * length)
        pushing = False
        if better and not at_rest:
            low, high = _span(trees, tanks, n)
            step[0] = min(max(step[0], (low - high) / 4), (high - low) / 4)
            scale = min(1.0, longest / turn) if turn > 0 else 1.0
            slope = scale * (state[FORCE] * step[0] + state[TURN_U] * step[1] + state[TURN_V] * step[2])
            if thawed:
                judge = AS_IT_IS if residual > ADRIFT else NEARER
            else:
                judge = DOWNHILL if -slope > BLURRED * state[MASS] * length else NEARER
        elif frozen:
            frozen, judge = False, AS_IT_IS
            thaws += 1
            new_d = plane[3]
            _copy(n, new_n)
            continue
        elif hold or least >= -1e-9 * (abs(state[K_UU]) + abs(state[K_VV]) + state[SLACK_UU] + state[SLACK_VV]):
            return FLOATS, walks, fell
        else:
            if thawed:  # downhill with the water she has now
                if thaws > 4:
                    return UNANSWERED, walks, fell
                frozen = True
                for t in range(tanks):
                    volumes[t] = liquids[t, LIQUID_MASS] / densities[t]
            heels = _push(state, n, step)
            fell = fell or (heels and abs(n[1]) <= 1e-12)
            pushing, judge, scale, slope, turn, longest = True, DOWNHILL, 1.0, 0.0, PUSH, LONGEST_TURN
        new_d = _turned(n, plane[3], flotation, step, scale, new_n)
    return UNANSWERED, walks, fell


@compiled
def float_many(
    trees, signs, densities, lips, spills, volumes, masses, cgs, rhos, holds, frozen, planes, states, liquids, outcomes
):
    """Float many boats of the same bodies, each from its own start in `planes` (k, 4); an offset of nan is looked for.

    bodies 0..t-1 are tanks, the rest hull, whose sign says afloat (+1) or flooded (-1); densities (t,), lips (t, 3),
    spills (k, t) bool, volumes (k, t), masses (k,), cgs (k, 3) about the common origin, rhos (k,), holds (k,) bool to
    keep the heel, frozen as in `_float_one`. Fills planes, states (k, 30), liquids (k, t, 15) and outcomes (k, 3):
    outcome, walks, whether she fell.
    """
    for k in range(len(masses)):
        outcome, walks, fell = _float_one(
            trees, signs, densities, volumes[k], lips, spills[k], masses[k], cgs[k], rhos[k], holds[k],
            frozen, planes[k], states[k], liquids[k],
        )  # fmt: skip
        outcomes[k, 0], outcomes[k, 1], outcomes[k, 2] = outcome, walks, fell
