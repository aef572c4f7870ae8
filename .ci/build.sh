# Sourced by examples/run: building with a sign of progress instead of the build's own lines.

# build_quietly PRESET FOLDER TARGET... says how many of how many steps are done, and at the end how long they
# took. Says nothing when there is nothing to do; what went wrong is shown whole.
build_quietly() {
  preset=$1
  folder=$2
  shift 2
  mkdir -p "$folder"
  log="$folder/quiet-build.log"
  began=$(date +%s)
  if [ ! -f "$folder/build.ninja" ]; then
    echo "Building Budwood. The first time this takes some minutes." >&2
    cmake --preset "$preset" -DBUDWOOD_TESTS=OFF >"$log" 2>&1 || { cat "$log" >&2; return 1; }
  fi
  # The exit status of ninja, not of what shows its progress.
  status=$(
    { { NINJA_STATUS='@%f/%t ' ninja -C "$folder" "$@" 2>&1; echo $? >&3; } | show_progress "$log" >&2; } 3>&1
  )
  [ "$status" -eq 0 ] || { cat "$log" >&2; return 1; }
  if grep -q '^@' "$log"; then
    seconds=$(($(date +%s) - began))
    echo "Built in $((seconds / 60)) min $((seconds % 60)) s." >&2
  fi
}

# show_progress LOG: a line on a terminal that is written over; elsewhere a line for every tenth part.
show_progress() {
  terminal=0
  [ -t 2 ] && terminal=1
  awk -v log_file="$1" -v terminal="$terminal" '
    { print > log_file }
    /^@/ {
      split(substr($1, 2), n, "/")
      if (terminal) printf "\rBuilding: %d of %d ", n[1], n[2]
      else if (int(10 * n[1] / n[2]) > said) { said = int(10 * n[1] / n[2]); printf "Building: %d of %d\n", n[1], n[2] }
      fflush()
      any = 1
    }
    END { if (terminal && any) printf "\n" }'
}
