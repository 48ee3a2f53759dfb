# Makes the environment that try.sh and check.sh run in, once, from the lock; sourced by both.
#   make_environment LOCK NAME   sets PYTHON to the interpreter of the environment
# The environment stands beside the project, or, where that may not be written, in the user's cache.
# A finished environment is stamped with the lock it was made from, so a changed lock makes it anew
# and nothing is looked up again while it is unchanged: after the first run all of it works offline.

say() { printf '%s\n' "$*" >&2; }

find_python() {
  for name in python3.13 python3.12 python3.11 python3 python; do
    if command -v "$name" >/dev/null 2>&1 &&
      "$name" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; then
      printf '%s' "$name"
      return
    fi
  done
}

make_environment() {
  lock=$1
  name=$2
  stamp=$(cksum <"$lock")
  for folder in "$PROJECT/$name" "${XDG_CACHE_HOME:-${HOME:-/tmp}/.cache}/coilbook/$name"; do
    if [ -r "$folder/stamp" ] && [ "$(cat "$folder/stamp")" = "$stamp" ] &&
      "$folder/bin/python" -c '' 2>/dev/null; then
      PYTHON=$folder/bin/python
      compile_search
      return
    fi
  done
  folder=$PROJECT/$name
  if ! [ -w "$PROJECT" ] || { [ -e "$folder" ] && ! [ -w "$folder" ]; }; then
    folder=${XDG_CACHE_HOME:-${HOME:-/tmp}/.cache}/coilbook/$name
    mkdir -p "$(dirname "$folder")" || {
      say "Neither $PROJECT nor $(dirname "$folder") may be written; set HOME to a folder that may."
      exit 1
    }
  fi
  base=$(find_python)
  if [ -z "$base" ]; then
    say "Python 3.11 or newer is needed, and none was found."
    exit 1
  fi
  say "Making the environment in $folder (once) ..."
  rm -rf "$folder"
  if command -v uv >/dev/null 2>&1; then
    uv venv --quiet --python "$base" "$folder"
    uv pip install --quiet --python "$folder/bin/python" --require-hashes -r "$lock"
  else
    "$base" -m venv "$folder"
    "$folder/bin/python" -m pip install --quiet --disable-pip-version-check \
      --require-hashes -r "$lock"
  fi
  printf '%s\n' "$stamp" >"$folder/stamp"
  PYTHON=$folder/bin/python
  compile_search
}

# The innermost loop of the search is C where there is a compiler; without one it stays in Python.
compile_search() {
  PYTHONPATH=$PROJECT "$PYTHON" -m core.planner.compiling
}
