# Sourced by examples/run and tests/run: what Budwood needs of Debian 12, and how it gets there.

build_packages="g++ cmake ninja-build lld antlr4 libantlr4-runtime-dev libyaml-cpp-dev libboost-dev \
  libfmt-dev libcli11-dev nlohmann-json3-dev pkg-config libarchive-dev libsodium-dev libical-dev \
  libxlsxwriter-dev libqrcodegencpp-dev libexpat1-dev libutf8proc-dev \
  libsoci-dev libsqlite3-dev libpq-dev libcpp-httplib-dev libturbojpeg0-dev node-preact libjs-codemirror"
test_packages="clang-format doctest-dev libbenchmark-dev python3 python3-networkx python3-scipy \
  python3-icalendar python3-openpyxl libreoffice-calc-nogui chromium fonts-dejavu-core \
  poppler-utils zbar-tools postgresql chromium-driver neovim"

# need_packages NAME... installs what is missing; says in one line what is needed when it may not.
need_packages() {
  missing=""
  for name in "$@"; do
    status=$(dpkg-query -W -f='${Status}' "$name" 2>/dev/null || true)
    [ "$status" = "install ok installed" ] || missing="$missing $name"
  done
  [ -z "$missing" ] && return 0
  if [ "$(id -u)" -eq 0 ]; then
    as_root=""
  elif command -v sudo >/dev/null 2>&1 && sudo -n true 2>/dev/null; then
    as_root="sudo"
  else
    echo "Missing Debian packages; please install them first: apt-get install$missing" >&2
    return 1
  fi
  echo "Installing:$missing" >&2
  # The lists may be fresh already: update only when a package is not found.
  install="$as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y --no-install-recommends"
  if ! $install $missing >/dev/null 2>&1; then
    $as_root apt-get update >/dev/null && $install $missing >/dev/null
  fi
}
