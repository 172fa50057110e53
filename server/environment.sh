# Sourced by server/run and tests/run: one Python environment in .venv, kept in step with pyproject.toml.
# Usage: source server/environment.sh [EXTRA]     (from the top folder; leaves $python set)

say() { printf '%s\n' "$*" >&2; }

# Runs a command as root: directly, or through sudo where it asks nothing.
as_root() {
  if [ "$(id -u)" = 0 ]; then "$@"; elif command -v sudo >/dev/null && sudo -n true 2>/dev/null; then sudo -n "$@"; else return 1; fi
}

# Installs Debian packages, or says which ones a person has to install.
debian_packages() {
  if command -v apt-get >/dev/null && as_root apt-get update -qq && as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq "$@" >&2; then
    return 0
  fi
  say "Could not install: $*. Install these packages yourself (on Debian: sudo apt-get install $*), then run this again."
  return 1
}

make_environment() {
  local extra="${1:-}" wanted
  python=.venv/bin/python
  command -v python3 >/dev/null || debian_packages python3 python3-venv
  if ! "$python" -m pip --version >/dev/null 2>&1; then
    rm -rf .venv
    # Debian ships python3 without ensurepip until python3-venv is there.
    python3 -m venv .venv >/dev/null 2>&1 || { rm -rf .venv; debian_packages python3-venv && python3 -m venv .venv; }
  fi
  wanted="$(sha256sum pyproject.toml | cut -d' ' -f1) $extra"
  if ! grep -qsxF "$wanted" .venv/installed; then
    say "Installing the Python packages named in pyproject.toml …"
    "$python" -m pip install -q --disable-pip-version-check --editable ".${extra:+[$extra]}"
    printf '%s\n' "$wanted" >> .venv/installed
  fi
}

make_environment "$@"
