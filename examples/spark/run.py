"""Makes the lists of many walks inside Apache Spark and compares them with one run of the program alone.

    pip install pyspark        # and a Java, for example Debian's openjdk-21-jre-headless
    python3 examples/spark/run.py target/release/storystick 10000

Each partition is piped through `storystick list --lines`: one JSON object a line in, one list or error a line out. The
answers must be the same bytes as those of a single machine, in the same order.
"""

import json
import subprocess
import sys

from pyspark.sql import SparkSession

ROOMS = ["Kitchen", "Pantry", "Garage", "Laundry", "Living room", "Entry"]
PARTS = ["door", "window", "baseboard", "outlet", "faucet", "shelf", "handrail"]
FAULTS = ["is scratched", "is loose", "is missing", "is cracked", "won't close", "is fine"]


def walk(n):
    """The walk with this number, as a line: rooms, parts and faults in turn."""
    text, second, state = [], 0, n * 2654435761 % 2**32
    for _ in range(4):
        text.append(f"[{second // 60}:{second % 60:02}] {ROOMS[state % 6]}.")
        for _ in range(3):
            state = (state * 1103515245 + 12345) % 2**31
            second += 4
            part, fault = PARTS[state // 7 % 7], FAULTS[state // 64 % 6]
            text.append(f"[{second // 60}:{second % 60:02}] The {part} {fault}.")
        second += 5
    return json.dumps({"name": f"walk {n}", "text": "\n".join(text)})


def main():
    program, count = sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else 10000
    lines = [walk(n) for n in range(count)]
    alone = subprocess.run(
        [program, "list", "--lines"], input="\n".join(lines), capture_output=True, text=True, check=True
    ).stdout.splitlines()
    spark = SparkSession.builder.master("local[2]").appName("walks").config("spark.ui.enabled", "false").getOrCreate()
    spark.sparkContext.setLogLevel("ERROR")
    spread = spark.sparkContext.parallelize(lines, 8).pipe(f"{program} list --lines", checkCode=True).collect()
    spark.stop()
    if spread != alone or len(alone) != count:
        sys.exit(f"they differ: {len(spread)} from Spark, {len(alone)} alone, {count} walks")
    items = sum(len(json.loads(line)["list"]["items"]) for line in alone)
    print(f"{count} walks, {items} items: the same bytes")


main()
