# shellcheck shell=sh
# Sourced by run, check and bench: sets $python to a Python we can use, or says what to install.
# A name is tried by running it: a version manager's stand-in may exist and yet start nothing.
python=
for name in ${BEADWRIGHT_PYTHON:-python3 python3.13 python3.12 python3.11}; do
  if "$name" -c 'import sys; sys.exit(not (3, 11) <= sys.version_info < (3, 14))' 2>/dev/null; then
    python=$name
    break
  fi
done
if [ -z "$python" ]; then
  echo "beadwright needs Python 3.11, 3.12 or 3.13 and found none as" \
    "${BEADWRIGHT_PYTHON:-python3, python3.13, python3.12 or python3.11}: install one." >&2
  exit 1
fi
