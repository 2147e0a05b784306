"""Sets the house up before anything is installed: own .venv, packages, system libraries; stdlib only.

Loaded by its path from manage.py, and written so that an old Python can read it and be told what it is.
A stamp, written last, makes it safe to kill and quick to repeat: it holds the hash of the requirement files
and of the version that the .venv's Python reports now.
"""

from __future__ import print_function

import ctypes
import hashlib
import os
import shutil
import subprocess
import sys

WINDOWS = os.name == "nt"
PANGO = [  # what WeasyPrint loads: one name of each row must be found
    ("libpango-1.0.so.0", "libpango-1.0.dylib", "libpango-1.0-0.dll"),
    ("libpangoft2-1.0.so.0", "libpangoft2-1.0.dylib", "libpangoft2-1.0-0.dll"),
    ("libharfbuzz-subset.so.0", "libharfbuzz-subset.0.dylib", "libharfbuzz-subset-0.dll"),
]
PANGO_PACKAGES = ["libpango-1.0-0", "libpangoft2-1.0-0", "libharfbuzz-subset0"]
FILES = {
    "run": ["requirements.txt"],
    "tests": ["requirements.txt", os.path.join("tests", "requirements.txt")],
}
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chrome")


def prepare(here, argv):
    """Return when this process may run the command; else hand over to the right Python, or stop in words."""
    command = argv[0] if argv else "help"
    if sys.version_info < (3, 11):
        stop(old_python(command))
    if not os.environ.get("DRYBY_NO_VENV"):
        venv = place_of_venv(here)
        python = os.path.join(venv, "Scripts" if WINDOWS else "bin", "python.exe" if WINDOWS else "python")
        kind = "tests" if command == "test" else "run"
        if not is_ready(here, venv, python, kind):
            set_up(here, venv, python, kind)
        if not is_inside(venv):
            hand_over([python, os.path.join(here, "manage.py")] + argv)
    if command == "open":
        missing = missing_libraries(for_tests=False)
        if missing:
            install_libraries(
                missing, "Dryby opens without them, but quotes and day sheets cannot be printed."
            )
    elif command == "test":
        run_tests(here, argv[1:])


def run_tests(here, arguments):
    without_browser = bool(os.environ.get("DRYBY_NO_BROWSER"))
    missing = missing_libraries(for_tests=not without_browser)
    if missing and not install_libraries(
        missing, "The tests need them (DRYBY_NO_BROWSER=1 leaves the browser out)."
    ):
        sys.exit(2)
    if not any(a.startswith("-n") for a in arguments):
        arguments = ["-n", "2"] + arguments
    if without_browser and "-m" not in arguments:
        arguments = ["-m", "not slow and not browser"] + arguments
    os.chdir(here)
    hand_over([sys.executable, "-m", "pytest"] + arguments)


# The .venv


def is_inside(venv):
    return os.path.realpath(sys.prefix) == os.path.realpath(venv)


def place_of_venv(here):
    """Beside manage.py; when that folder is read-only, in DRYBY_HOME."""
    if os.access(here, os.W_OK) or os.path.exists(os.path.join(here, ".venv")):
        return os.path.join(here, ".venv")
    home = os.environ.get("DRYBY_HOME")
    if home and (os.access(home, os.W_OK) or os.access(os.path.dirname(os.path.abspath(home)), os.W_OK)):
        return os.path.join(home, ".venv")
    return stop(
        "Dryby may not write into its folder %s. Give it one that it may write to: "
        "DRYBY_HOME=/a/folder/of/yours python3 manage.py open" % here
    )


def stamp_of(here, python, kind):
    """Hash of what the .venv must hold and of the Python that it reports now; empty when it is broken."""
    if is_inside(os.path.dirname(os.path.dirname(python))):
        version = sys.version
    else:
        try:
            version = output_of([python, "-c", "import sys; print(sys.version, end='')"])
        except (OSError, subprocess.CalledProcessError):
            return ""
    digest = hashlib.sha256(version.encode())
    for name in FILES[kind]:
        with open(os.path.join(here, name), "rb") as file:
            digest.update(file.read())
    return digest.hexdigest()


def is_ready(here, venv, python, kind):
    try:
        with open(os.path.join(venv, "dryby-%s.stamp" % kind)) as file:
            return file.read() == stamp_of(here, python, kind) != ""
    except OSError:
        return False


def set_up(here, venv, python, kind):
    """Make the .venv and install into it; two at once wait for each other, and a half-made one is mended."""
    try:
        os.makedirs(os.path.dirname(venv), exist_ok=True)
        with open(venv + ".lock", "w") as lock:
            wait_for(lock)
            if is_ready(here, venv, python, kind):
                return
            if not stamp_of(here, python, kind) or not has_pip(python):
                make_venv(venv)
            say("Installing what Dryby needs. The first time takes a minute or two, mostly downloads ...")
            install_packages(
                here, python, "tests/requirements.txt" if kind == "tests" else "requirements.txt"
            )
            for done in ["run", "tests"] if kind == "tests" else ["run"]:
                with open(os.path.join(venv, "dryby-%s.stamp" % done), "w") as file:
                    file.write(stamp_of(here, python, done))
    except PermissionError as error:
        stop(
            "Dryby may not write to %s. Change that, or give it another folder with DRYBY_HOME."
            % error.filename
        )
    except OSError as error:
        stop("Dryby could not be set up: %s." % error)


def has_pip(python):
    return subprocess.call([python, "-m", "pip", "--version"], stdout=subprocess.DEVNULL,
                           stderr=subprocess.DEVNULL, env=clean_environment()) == 0  # fmt: skip


def make_venv(venv):
    try:
        import ensurepip  # noqa: F401  (Debian ships Python without it)
    except ImportError:
        package = "python%d.%d-venv" % sys.version_info[:2]
        if not apt_install([package]):
            stop(
                "One system package is missing. Run this, then the same command again:\n"
                "  sudo apt-get install -y " + package
            )
    base = getattr(sys, "_base_executable", sys.executable) or sys.executable
    made = subprocess.run([base, "-m", "venv", "--clear", venv], stdout=subprocess.PIPE,
                          stderr=subprocess.STDOUT, env=clean_environment())  # fmt: skip
    if made.returncode:
        stop("Python could not make %s: %s" % (venv, last_line(made.stdout)))


def install_packages(here, python, requirements):
    pip = subprocess.run(
        [python, "-m", "pip", "install", "--quiet", "--no-input", "--disable-pip-version-check",
         "--retries", "2", "--timeout", "20", "--only-binary", ":all:",
         "-r", os.path.join(here, requirements)],
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT, env=clean_environment(),
    )  # fmt: skip
    if pip.returncode == 0:
        return
    text = pip.stdout.decode(errors="replace")
    if "No space left" in text:
        stop("The disk is full: Dryby needs about 900 MB. Make room, then run the same command again.")
    if any(sign in text for sign in ("NewConnectionError", "Temporary failure", "Failed to establish",
                                     "ProxyError", "ConnectTimeout", "Network is unreachable",
                                     "NameResolutionError", "Max retries exceeded")):  # fmt: skip
        stop(
            "There is no network, and Dryby has parts to download. Connect, then run the same command again."
        )
    stop("The parts of Dryby could not be installed. pip says: " + last_line(pip.stdout))


# System libraries


def missing_libraries(for_tests):
    """Debian's names of the packages whose libraries cannot be loaded."""
    missing = [package for names, package in zip(PANGO, PANGO_PACKAGES) if not loads(names)]
    if for_tests:
        if not (os.environ.get("DRYBY_BROWSER") or any(shutil.which(name) for name in BROWSERS)):
            missing.append("chromium")
        if sys.platform.startswith("linux") and not loads(("libatomic.so.1",)):
            missing.append("libatomic1")
    return missing


def loads(names):
    for name in names:
        try:
            ctypes.CDLL(name)
            return True
        except OSError:
            continue
    return False


def install_libraries(packages, otherwise):
    """Install them where that is possible; else say exactly what to do. True when they are there now."""
    if apt_install(packages):
        return True
    if sys.platform == "darwin":
        how = "brew install pango" + (" && brew install --cask chromium" if "chromium" in packages else "")
    elif WINDOWS:
        how = "install GTK for Windows (it brings Pango)" + (" and Chrome" if "chromium" in packages else "")
    else:
        how = "sudo apt-get install -y --no-install-recommends " + " ".join(packages)
    say("System libraries are missing. " + otherwise + " To have them:\n  " + how)
    return False


def apt_install(packages):
    """As root on Debian: install, and say whether it worked."""
    if WINDOWS or os.geteuid() != 0 or not shutil.which("apt-get"):
        return False
    say("Installing system packages: " + " ".join(packages) + " ...")
    environment = dict(os.environ, DEBIAN_FRONTEND="noninteractive")
    install = ["apt-get", "install", "-y", "-q", "--no-install-recommends"] + packages
    for step in (["apt-get", "update", "-q"], install):
        done = subprocess.run(step, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, env=environment)
        if done.returncode and step is install:
            say("apt-get says: " + last_line(done.stdout))
            return False
    return True


# Small things


def old_python(command):
    sentence = "Dryby needs Python 3.11 or newer; this one is %d.%d." % sys.version_info[:2]
    for minor in range(20, 10, -1):
        if shutil.which("python3.%d" % minor):
            return sentence + " You have a newer one: python3.%d manage.py %s" % (minor, command)
    return sentence + " Install a newer one, then run the same command with it."


def clean_environment():
    """The environment without what bends another Python's paths."""
    kept = {
        k: v for k, v in os.environ.items() if k not in ("PYTHONHOME", "PYTHONPATH", "__PYVENV_LAUNCHER__")
    }
    return dict(kept, PIP_USER="0", PIP_REQUIRE_VIRTUALENV="0")


def hand_over(command):
    """Become that command; Windows cannot, so there it is run and its answer passed on."""
    sys.stdout.flush()
    if WINDOWS:
        try:
            sys.exit(subprocess.call(command))
        except KeyboardInterrupt:
            sys.exit(0)
    os.execv(command[0], command)


def wait_for(lock):
    try:
        import fcntl

        fcntl.flock(lock, fcntl.LOCK_EX)
    except ImportError:
        import msvcrt

        msvcrt.locking(lock.fileno(), msvcrt.LK_LOCK, 1)


def output_of(command):
    return subprocess.check_output(command, stderr=subprocess.DEVNULL, env=clean_environment()).decode()


def last_line(output):
    lines = [line.strip() for line in output.decode(errors="replace").splitlines() if line.strip()]
    errors = [line for line in lines if line.startswith(("ERROR", "E:", "Error"))]
    return (errors or lines or ["nothing"])[-1][:300]


def say(sentence):
    print(sentence, flush=True)


def stop(sentence):
    sys.stderr.write(sentence + "\n")
    sys.exit(2)
