#!/bin/sh
# A conversation in the terminal, with an invented studio; no account, no token.
#   sh deploy/try.sh                       talk
#   sh deploy/try.sh plan 50 chair         say one thing
#   echo "plan 50 chair" | sh deploy/try.sh
set -eu
PROJECT=$(cd "$(dirname "$0")/.." && pwd)
. "$PROJECT/deploy/environment.sh"
make_environment "$PROJECT/deploy/requirements.lock" .venv
export PYTHONPATH="$PROJECT" PYTHONDONTWRITEBYTECODE="${PYTHONDONTWRITEBYTECODE-}"
if [ $# -gt 0 ]; then
  printf '%s\n' "$*" | "$PYTHON" -m bot console --demo
else
  "$PYTHON" -m bot console --demo
fi
