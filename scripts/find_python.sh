# Read by scripts/run and scripts/test: the first Python on this machine that is new enough.
find_python() {
  local name
  for name in python3 python3.14 python3.13 python3.12 python3.11 python; do
    if "$name" -c 'import sys; sys.exit(sys.version_info < (3, 11))' >/dev/null 2>&1; then
      echo "$name"
      return
    fi
  done
  echo "Honeyhold needs Python 3.11 or newer, and found none. Install it (Debian: apt-get install python3 python3-venv), then start again." >&2
  return 1
}
