"""Prints a hand-out with the installed command and opens its page once; no file is of a checkout."""

import subprocess
import sys
import tempfile
import urllib.request
from pathlib import Path

import explorer


def main() -> int:
    assert "site-packages" in explorer.__file__, explorer.__file__
    command = Path(sys.executable).with_name("station-explorer")
    with tempfile.TemporaryDirectory() as folder:
        paper = Path(folder) / "ferrow.pdf"
        subprocess.run([command, "handout", "--lake", "Ferrow Tarn", "--out", paper], check=True)
        assert paper.read_bytes().startswith(b"%PDF"), paper
    with subprocess.Popen([command, "explore", "--no-browser"], stdout=subprocess.PIPE, text=True) as process:
        address = ""
        for line in process.stdout or ():
            print(line, end="")
            if "http://" in line:
                address = next(word for word in line.split() if word.startswith("http://"))
            if "Ctrl-C" in line:
                break
        page = urllib.request.urlopen(address, timeout=120).read().decode()
        process.terminate()
    print(f"exit status {process.returncode}, a page of {len(page)} characters")
    return 0 if process.returncode == 0 and "application/vnd.jupyter.widget-view+json" in page else 1


if __name__ == "__main__":
    sys.exit(main())
