"""The lantern's white light by hand, for scipy's fsolve.

The circuit is reduced on paper to four unknown voltages (the rail, and the
transistor's emitter, base and collector behind their ohmic resistances) and
four sums of currents. The twelve LEDs, each with a saturation current of its
own, are explicit in the voltage across them by Lambert's W. The amber branch is
off and left out, and the chip takes its supply current from the rail.

Reads a job as JSON from standard input: the value of every parameter that does
not vary, and the samples with theirs. Writes how long they took, which of them
fsolve calls converged, and the battery's current in each.
"""

import json
import sys
import time
import warnings

import numpy as np
from scipy.optimize import fsolve
from scipy.special import lambertw

LEDS = 12
LARGEST = 200.0  # of an exponent: beyond that a guess is nonsense anyway


def exponential(x):
    return np.exp(np.minimum(x, LARGEST))


def led_amps(volts, saturation, slope, ohms):
    """Currents of junctions with n V_T = slope behind ohms, by Lambert's W."""
    inside = saturation * ohms / slope * exponential((volts + saturation * ohms) / slope)
    return slope / ohms * lambertw(inside).real - saturation


def transistor(p, emitter, base, collector):
    """Collector and base current of a pnp, out of these pins: transport form."""
    vt = p["thermal_voltage"]
    saturation = p["Q1.saturation_current"]
    forward = saturation * (exponential((emitter - base) / vt) - 1)
    backward = saturation * (exponential((collector - base) / vt) - 1)
    charge = 0.5 * (1 + np.sqrt(1 + 4 * max(forward, -saturation) / p["Q1.knee_current"]))
    into_base = forward / p["Q1.forward_beta"] + backward / p["Q1.reverse_beta"]
    return (forward - backward) / charge - backward / p["Q1.reverse_beta"], into_base


def currents(unknown, p):
    """What the four sums of currents are short of nought, in amperes."""
    rail, emitter, base, collector = unknown
    out_of_collector, out_of_base = transistor(p, emitter, base, collector)
    supply = (p["BT1.voltage"] - rail) / p["BT1.resistance"]
    into_emitter = (rail - emitter) / p["Q1.emitter_resistance"]
    to_chip = base / (p["Q1.base_resistance"] + p["R1.resistance"] + p["IC1.output_resistance_low"])
    leds = led_amps(collector - p["Q1.collector_resistance"] * out_of_collector,
                    p["saturation"], p["slope"], p["D1.series_resistance"]).sum()
    return (supply - into_emitter - p["IC1.supply_current"],
            into_emitter - out_of_collector - out_of_base,
            out_of_base - to_chip,
            out_of_collector - leds)


def prepare(fixed, columns, row):
    """The parameters of one sample."""
    p = dict(fixed)
    p.update(zip(columns, row))
    p["saturation"] = np.array([p["D1.saturation_current"]]
                               + [p[f"D1#{i}.saturation_current"] for i in range(2, LEDS + 1)])
    p["slope"] = p["D1.emission_coefficient"] * p["thermal_voltage"]
    return p


def solve(p, start):
    x, _, flag, _ = fsolve(currents, start, args=(p,), full_output=True)
    return x, flag == 1


def main():
    warnings.simplefilter("ignore")  # fsolve warns of every sample it gives up
    job = json.load(sys.stdin)
    volts = job["nominal"]["BT1.voltage"]
    guess = [0.9 * volts, 0.9 * volts, 0.9 * volts - 0.75, 0.9 * volts - 0.1]
    start, found = solve(prepare(job["nominal"], [], []), guess)
    samples = [prepare(job["nominal"], job["columns"], row) for row in job["samples"]]
    begun = time.perf_counter()
    solutions = [solve(p, start) for p in samples]
    seconds = time.perf_counter() - begun
    json.dump({
        "start_converged": found,
        "seconds": seconds,
        "converged": [good for _, good in solutions],
        "amps": [(p["BT1.voltage"] - x[0]) / p["BT1.resistance"] for p, (x, _) in zip(samples, solutions)],
    }, sys.stdout)


if __name__ == "__main__":
    main()
