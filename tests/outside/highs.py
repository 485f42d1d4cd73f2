"""Solves mixed-integer programs in free-format MPS with HiGHS, the solver that scipy brings along, as an outside judge.

Reads a JSON list of files (text), gives each to HiGHS's own MPS reader and writes, for each, the status, the objective,
the columns that are 1 and the time that HiGHS says it took. The gap is set to nothing, so that the optimum is proven.
"""

import json
import os
import sys
import tempfile

from scipy.optimize._highspy._core import HighsModelStatus, HighsStatus, _Highs


def solve(text):
    solver = _Highs()
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    for gap in ("mip_rel_gap", "mip_abs_gap"):
        solver.setOptionValue(gap, 0.0)
    with tempfile.NamedTemporaryFile("w", suffix=".mps", delete=False) as file:
        file.write(text)
    try:
        if solver.readModel(file.name) != HighsStatus.kOk:
            sys.exit("HiGHS does not read the file without a warning; its first lines: " + text[:300])
    finally:
        os.unlink(file.name)
    solver.run()
    if solver.getModelStatus() == HighsModelStatus.kInfeasible:
        return {"status": "infeasible"}
    if solver.getModelStatus() != HighsModelStatus.kOptimal:
        sys.exit(f"HiGHS stops at {solver.getModelStatus()}")
    values = solver.getSolution().col_value
    names = solver.getLp().col_names_
    chosen = [name for name, value in zip(names, values) if value > 0.5]
    return {
        "status": "optimal",
        "objective": solver.getObjectiveValue(),
        "chosen": chosen,
        "columns": len(names),
        "seconds": solver.getRunTime(),
    }


json.dump([solve(text) for text in json.load(sys.stdin)], sys.stdout)
