# Sourced by the two commands: installs Debian or Ubuntu packages that are not there yet.

need_packages() {
  missing=""
  for package in "$@"; do
    dpkg-query -W -f='${Status}' "$package" 2>/dev/null | grep -q 'ok installed' ||
      missing="$missing $package"
  done
  [ -z "$missing" ] && return 0
  if [ "$(id -u)" = 0 ]; then as_root=""; else as_root="sudo"; fi
  echo "Installing:$missing"
  $as_root env DEBIAN_FRONTEND=noninteractive sh -c \
    "apt-get update -q && apt-get install -q -y --no-install-recommends $missing" >/dev/null || {
    echo "These packages could not be installed:$missing" >&2
    return 1
  }
}

BUILD_PACKAGES="g++ cmake ninja-build pkg-config libsmf-dev libyaml-cpp-dev libfluidsynth-dev
  librtmidi-dev libjack-jackd2-dev libsndfile1-dev libebur128-dev libpugixml-dev libzip-dev
  libcli11-dev libfmt-dev nlohmann-json3-dev timgm6mb-soundfont
  librsvg2-dev fonts-sil-gentium-basic fonts-dejavu-core"
TEST_PACKAGES="libgtest-dev librapidcheck-dev jackd2 poppler-utils clang-14 libclang-rt-14-dev clang-format-14"
# A browser for the listening page. Elsewhere than in Debian it comes as a snap, which keeps it from
# our files.
if grep -qsx 'ID=debian' /etc/os-release; then TEST_PACKAGES="$TEST_PACKAGES chromium"; fi
