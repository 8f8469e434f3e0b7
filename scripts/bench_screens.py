"""Counts the lines of thirty answers on the demo's book and on a second scenario, by default and with --full; where another
program is named, also those of that one. With --heads the first ten lines of each answer follow.

Usage: bench_screens.py PROGRAM [OTHER] [--heads]
"""

import os
import shlex
import subprocess
import sys
import tempfile
from pathlib import Path

GLAND = "--kind piston --bore '25.40+0.05/-0 mm' --groove '22.40±0.02 mm' --width '2.40 mm' --piston '25.33 mm' --pressure '10 bar' --duty moving"
FACE = "--kind face --outer '20.2 mm' --depth '1.30 mm' --width '2.4 mm' --pressure '200 bar' --from inside"
READ = "--reading '142 psi at 195 bar' --reading '126 psi at 35 bar' --gauge 2 --by Ada"
BREATH = "--creep '0 s 9.5 bar, 60 s 9.5 bar, 300 s 9.6 bar, 900 s 9.6 bar' --lock-up '1 s'"

DEMO = [
    "", "model list", "note show FT-000311", "parts Tarn", "parts 'Tarn 2'", "parts Beck",
    "ring --od '12.80 12.85 mm by caliper' --cs '1.72 mm by caliper'", "ring --od '12.80 mm by caliper'",
    "size AS568-012", f"gland check {GLAND} --ring AS568-020", "gland check 'Tarn 2' 13", f"gland fit {GLAND}",
    "gland cut --kind rod --rod '7.94 mm' --ring AS568-011 --pressure '10 bar' --duty moving", "uses Tarn 6",
    "thread --od 20.8mm --pitch '14 tpi'", "material --gas air --pressure '200 bar' --temperature '-2..40 C'",
    "care NBR", "offer find AS568-012", "order Tarn", "stock add 'AS568-012 NBR 90' --bin A4 --quantity 20 --lot K-077 --cured 2Q24",
    "stock list", "stock kit Tarn --for FT-000311",
    "spring --wire '3.4 mm' --od '25.6 mm' --coils 4.5 --free '37.2 mm'", "setting gauge add 2 --offset '+1.5 psi' --checked 2026-10-01 --against 'dead weight tester'",
    f"setting --reading '9.5 bar at 195 bar' --reading '8.4 bar at 35 bar' --gear 'breathing first stage' {BREATH}",
    "job open 'Tarn 2' FT2-004417 --by Ada", f"job reading 1 --as-found {READ}", "job step 1 --torque 'cap 25 N m' --by Ada", "job show 1", "book check",
]

NOTES = [
    """model Harrow Mere
unit HM-{n}
date 2026-05-0{n}
gear breathing first stage
gas nitrox 32
supply 200 bar
rated 232 bar
lengths mm
[inlet]
yoke nut ; keep ; tool 1 in wrench
filter ; under clip ; replace ; od 12.6 ; thick 3.0
[cap]
cap ; keep ; torque 25 N m
o-ring ; at cap joint ; replace ; used ; od 33.4{n} 33.45 by caliper ; cs 1.7{n} 1.76 by flat
  gland face ; outer 33.30 ; depth 1.32 ; width 2.40 ; static ; pressure 10 bar from inside
spring ; keep ; wire 3.2 ; od 24.0 ; length 36.0
[body]
o-ring ; at stem ; replace ; used ; od 11.4{n} 11.42 by caliper ; cs 1.79 by flat
  gland rod ; rod 7.94 ; groove 10.80 ; width 2.40 ; housing 8.00 ; moving ; pressure 10 bar
back-up ring ; at stem ; replace ; od 10.8 ; id 7.95 ; width 1.2
seat ; at body end ; replace ; od 8.0 ; thick 2.5 ; hole 3.2 ; face flat side up
o-ring ; at port plug ; replace ; used ; od 12.8{n} by rule
""",
]

SECOND = [
    "note check 1.note", "note add 1.note", "note add 2.note", "model list", "model show Mere", "note list", "parts Mere", "parts Mere --units 4",
    "uses Mere 4", "gland check Mere 4", f"gland check {FACE} --ring '16.0x2 mm'", f"gland fit {FACE}", "gland check --kind face --outer '20.2 mm' --depth '1.30 mm' --ring AS568-014",
    "ring --id '7.6 mm by pin' --cs '1.78 mm by flat'", "ring --of Mere --od '11.4 mm by caliper'", "ring --od '8.9 mm by rule'", "size 8x2", "size -014", "size 17.5x3.7",
    "offer find '8x2 NBR 70'", "order Mere", "stock kit Mere --for HM-1", "material --gas 'nitrox 32' --pressure '200 bar'", "care FKM --gas 'nitrox 32'",
    "job open Mere HM-1 --by Ada", "job show 1", "job close 1 --by Ada", "job list", "thread --od 9.4mm --pitch '24 tpi'", "decide Mere",
]


def lines(program, line, folder):
    environment = {**os.environ, "RINGWRIGHT_BOOK": str(folder / "shop.book"), "NO_COLOR": "1"}
    environment.pop("COLUMNS", None)
    done = subprocess.run([program, *shlex.split(line)], cwd=folder, env=environment, capture_output=True, text=True, stdin=subprocess.DEVNULL)
    return (done.stdout + (done.stderr if done.returncode == 2 else "")).splitlines()


def shown(program, commands, begin):
    """The answers of a program in a folder of its own; --full is asked of a second one, because some commands write."""
    answers = []
    with tempfile.TemporaryDirectory() as plain, tempfile.TemporaryDirectory() as full:
        for folder in (plain, full):
            for number in (1, 2):
                (Path(folder) / f"{number}.note").write_text(NOTES[0].format(n=number), encoding="utf-8")
            if begin:
                lines(program, begin, Path(folder))
        for line in commands:
            answers.append((lines(program, line, Path(plain)), lines(program, f"{line} --full", Path(full))))
    return answers


def main():
    words = [word for word in sys.argv[1:] if word != "--heads"]
    programs = [str(Path(word).resolve()) for word in words]
    for title, commands, begin in (("the demo", DEMO, "demo"), ("a second scenario", SECOND, "")):
        answers = [shown(program, commands, begin) for program in programs]
        print(f"\n{title}: lines" + (", lines of the other program" if len(programs) > 1 else "") + ", lines with --full")
        for at, line in enumerate(commands):
            counts = [str(len(of_program[at][0])) for of_program in answers]
            print(f"{' '.join(f'{count:>4}' for count in counts)} {len(answers[0][at][1]):>4}  ringwright {line[:90]}")
        if "--heads" in sys.argv:
            for at, line in enumerate(commands):
                print(f"\n$ ringwright {line}\n" + "\n".join(answers[0][at][0][:10]))


if __name__ == "__main__":
    main()
