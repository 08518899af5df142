"""Runs the survey as a filter in a distributed engine and compares its rows with a plain run.

    python engine.py HAIRPIN FOLDER

The engine is Apache Spark in local mode: two workers, eight parts, a failed part is tried
again. First the names go through its pipe operator; then one worker is ended by force in
the middle of its part, with the filter it runs. Both times the rows must be those of the
plain run, save how long each took, and none may be lost or doubled.
"""

import json
import os
import signal
import subprocess
import sys

from pyspark import SparkConf, SparkContext, TaskContext

FILTER = ["survey", "-", "--format", "ndjson", "--workers", "1"]


def rows(lines):
    """The rows by file, without their times; a broken or doubled row is an error."""
    out = {}
    for line in lines:
        row = json.loads(line)
        row.pop("seconds")
        if out.setdefault(row["file"], row) is not row:
            sys.exit(f"{row['file']} has two rows")
    return out


def scores(folder):
    names = [os.path.join(path, f) for path, _, files in os.walk(folder) for f in files]
    return sorted(n for n in names if n.endswith((".mxl", ".musicxml", ".xml")))


def killed_once(hairpin, part):
    """A worker: the one of part 1 ends by force in its first attempt, after three rows."""
    def work(names):
        names = list(names)
        child = subprocess.Popen([hairpin, *FILTER], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
        if part == 1 and TaskContext.get().attemptNumber() == 0:
            child.stdin.write("\n".join(names[:4]) + "\n")
            child.stdin.flush()
            for _ in range(3):
                child.stdout.readline()
            child.kill()
            os.kill(os.getpid(), signal.SIGKILL)
        lines, _ = child.communicate("\n".join(names) + "\n")
        if child.returncode != 0:
            raise RuntimeError(f"the filter ended with {child.returncode}")
        return lines.splitlines()
    return work


def main(hairpin, folder):
    names = scores(folder)
    plain = subprocess.run([hairpin, *FILTER], input="\n".join(names) + "\n", capture_output=True, text=True, check=True)
    want = rows(plain.stdout.splitlines())
    if sorted(want) != names:
        sys.exit("the plain run lacks rows")
    sc = SparkContext(conf=SparkConf().setMaster("local[2,4]").setAppName("survey").set("spark.ui.enabled", "false"))
    sc.setLogLevel("OFF")
    parts = sc.parallelize(names, 8)
    piped = parts.pipe(" ".join([hairpin, *FILTER]), checkCode=True).collect()
    killed = parts.mapPartitionsWithIndex(lambda i, it: killed_once(hairpin, i)(it)).collect()
    sc.stop()
    for how, lines in ("through the pipe", piped), ("with a worker killed", killed):
        if rows(lines) != want:
            sys.exit(f"{how}: the rows differ from those of the plain run")
        print(f"{how}: {len(lines)} rows, the same as in the plain run")


if __name__ == "__main__":
    main(os.path.abspath(sys.argv[1]), sys.argv[2])
