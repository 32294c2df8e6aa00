"""The coupled equations of docs/models/bake.md in SciPy: nothing but what that page says, no code of the solver.

    python3 scipyBake.py CASE.json [--cells 24x20] [--rtol 1e-4] [--repeat 1] [--like MESH.json]

CASE.json is a cylinder with "vapour". Prints JSON: times, coldest temperature, loss, cells, seconds of processor time. Uniform cells unless
--like gives edges. BDF with the sparsity of the Jacobian given, as the documentation of solve_ivp advises.
Needs numpy and scipy; tried with scipy 1.10 (Debian's python3-scipy).
"""
import argparse
import json
import sys
import time

import numpy as np
from scipy.integrate import solve_ivp
from scipy.sparse import lil_matrix

R_GAS, M_WATER = 8.314462618, 0.018015


def build(case, r_edges, z_edges):
    v, mat = case["vapour"], case["material"]
    nr, nz = len(r_edges) - 1, len(z_edges) - 1
    P = v["pressurePa"]
    x0 = v["initialWaterKgKg"]
    rho_s = mat["densityKgM3"] / (1 + x0)
    cs, cw, b = v["solidsHeatCapacityJKgK"], v["waterHeatCapacityJKgK"], v["activityHalfKgKg"]
    k = mat["conductivityWMK"]
    hv0, cv = v["vapourEnthalpyJKg"], v["vapourHeatCapacityJKgK"]
    uc, w, gain = v["pressureFlowFrom"], v["pressureFlowWidth"], v["pressureFlowGain"]
    liquid = v["liquidDiffusivityM2S"] * rho_s

    ring = np.pi * np.diff(r_edges**2)
    dz, dr = np.diff(z_edges), np.diff(r_edges)
    mass = rho_s * np.outer(dz, ring)
    r_area = 2 * np.pi * np.outer(dz, r_edges[1:-1])
    r_gap = (dr[1:] + dr[:-1]) / 2
    z_gap = (dz[1:] + dz[:-1]) / 2
    z_area = ring

    def potential(p):
        u = p / P
        o = np.maximum(u - uc, 0)
        onset = np.where(o < w, o * o / (2 * w), o - w / 2)
        return P * (-np.log(1 - np.minimum(u, uc)) + o / (1 - uc) + gain * onset)

    def state(y):
        y = y.reshape(nz, nr, 2)
        h, x = y[..., 0], y[..., 1]
        t = h / (cs + cw * x)
        aw = np.where(x > 0, x / (x + b), x / b)
        psat = 611.21 * np.exp((18.678 - t / 234.5) * t / (257.14 + t))
        g = v["pathShare"] * 2.23e-5 * M_WATER / (R_GAS * 273.15) * ((t + 273.15) / 273.15) ** 0.75
        return x, t, potential(aw * psat), g

    air = potential(np.array(v["airVapourPa"]))

    def rates(_, y):
        x, t, drive, g = state(y)
        dh = np.zeros((nz, nr))
        dx = np.zeros((nz, nr))

        def exchange(a, c, area, gap):
            mid = (t[a] + t[c]) / 2
            j = (g[a] + g[c]) / 2 * area / gap * (drive[a] - drive[c])
            l = liquid * area / gap * (x[a] - x[c])
            q = k * area / gap * (t[a] - t[c]) + j * (hv0 + cv * mid) + l * cw * mid
            dh[a] -= q
            dh[c] += q
            dx[a] -= j + l
            dx[c] += j + l

        exchange(np.s_[:, :-1], np.s_[:, 1:], r_area, r_gap)
        exchange(np.s_[:-1, :], np.s_[1:, :], z_area[None, :], z_gap[:, None])
        for name, cells, area, half in (
            ("side", np.s_[:, -1], 2 * np.pi * r_edges[-1] * dz, dr[-1] / 2),
            ("base", np.s_[0, :], ring, dz[0] / 2),
            ("top", np.s_[-1, :], ring, dz[-1] / 2),
        ):
            s = case["surfaces"][name]
            q = area / (1 / s["hWM2K"] + half / k) * (s["ambientC"] - t[cells])
            hm = v["vapourTransferKgM2SPa"][name]
            if hm > 0:
                j = area / (1 / hm + half / g[cells]) * (air - drive[cells])
                q = q + j * (hv0 + cv * t[cells])
                dx[cells] += j
            dh[cells] += q
        out = np.empty((nz, nr, 2))
        out[..., 0] = dh / mass
        out[..., 1] = dx / mass
        return out.ravel()

    y0 = np.empty((nz, nr, 2))
    y0[..., 0] = (cs + cw * x0) * case["initialC"]
    y0[..., 1] = x0
    n = nr * nz
    pattern = lil_matrix((2 * n, 2 * n), dtype=bool)
    for j in range(nz):
        for i in range(nr):
            for dj, di in ((0, 0), (1, 0), (-1, 0), (0, 1), (0, -1)):
                if 0 <= j + dj < nz and 0 <= i + di < nr:
                    a, c = 2 * (j * nr + i), 2 * ((j + dj) * nr + i + di)
                    pattern[a : a + 2, c : c + 2] = True
    return rates, y0.ravel(), pattern.tocsr(), state, mass, mat["densityKgM3"] * np.pi * r_edges[-1] ** 2 * z_edges[-1]


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("case")
    parser.add_argument("--cells", default="24x20")
    parser.add_argument("--rtol", type=float, default=1e-4)
    parser.add_argument("--repeat", type=int, default=1)
    parser.add_argument("--like")
    args = parser.parse_args()
    case = json.load(sys.stdin if args.case == "-" else open(args.case))
    shape = case["shape"]
    if args.like:
        like = json.load(open(args.like))
        r_edges, z_edges = np.array(like["acrossEdges"]), np.array(like["upEdges"])
    else:
        nr, nz = (int(s) for s in args.cells.split("x"))
        r_edges, z_edges = np.linspace(0, shape["radiusM"], nr + 1), np.linspace(0, shape["heightM"], nz + 1)
    rates, y0, pattern, state, mass, batter = build(case, r_edges, z_edges)
    times = np.arange(0, case["durationS"] + 1e-9, case["sampleEveryS"])
    scale = np.tile([1e5, 1.0], len(y0) // 2)
    seconds = []
    for _ in range(args.repeat):
        start = time.process_time()
        run = solve_ivp(
            rates, (0, case["durationS"]), y0, "BDF", t_eval=times, rtol=args.rtol, atol=args.rtol * scale * 1e-1, jac_sparsity=pattern
        )
        seconds.append(time.process_time() - start)
    coldest, loss = [], []
    for y in run.y.T:
        x, t, _, _ = state(y)
        coldest.append(float(t.min()))
        loss.append(float(100 * (mass * (case["vapour"]["initialWaterKgKg"] - x)).sum() / batter))
    json.dump(
        {
            "times": times.tolist(),
            "coldestC": coldest,
            "lossPercent": loss,
            "cells": [len(r_edges) - 1, len(z_edges) - 1],
            "seconds": min(seconds),
            "evaluations": int(run.nfev),
            "ok": bool(run.success),
        },
        sys.stdout,
    )


main()
