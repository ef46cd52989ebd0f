#!/usr/bin/env bash
# Compiles every source of the program for ARM64, so that nothing x86-only creeps in. Objects only: this machine has no
# ARM64 libraries to link. Needs a built build/release, for the sources made there.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
command -v aarch64-linux-gnu-g++ >/dev/null || { echo "install g++-aarch64-linux-gnu first" >&2; exit 1; }

# The libraries' headers are the same on every machine, but those of the C library beside them are not.
headers=build/arm64/include
mkdir -p "$headers"
for name in boost cairo eigen3 gecode glib-2.0 harfbuzz hwy libical nlohmann oneapi opencascade pango-1.0 tbb toml++ sodium sodium.h sqlite3.h; do
  ln -sfn "$(find /usr/include /usr/include/x86_64-linux-gnu -maxdepth 1 -name "$name" | head -n 1)" "$headers/$name"
done
# glib's own sizes, the same on both.
ln -sfn /usr/lib/x86_64-linux-gnu/glib-2.0/include/glibconfig.h "$headers/glibconfig.h"

{ find src -name '*.cpp' ! -name '*_test.cpp'; find build/release/src -name '*.cpp'; } | sort |
  xargs -P "$(nproc)" -I {} sh -c 'aarch64-linux-gnu-g++ -std=c++20 -O1 -Wall -Wextra -Wconversion -Wno-restrict -Wno-psabi -Werror \
    -DBOXFETTLE_VERSION=\"arm64\" -DTOML_HEADER_ONLY=0 -DTOML_SHARED_LIB=1 -DHWY_SHARED_DEFINE -Isrc \
    -isystem build/arm64/include -isystem build/arm64/include/eigen3 -isystem build/arm64/include/opencascade \
    -isystem build/arm64/include/cairo -isystem build/arm64/include/glib-2.0 -isystem build/arm64/include/harfbuzz -isystem build/arm64/include/pango-1.0 -c "$1" -o /dev/null || { echo "not for ARM64: $1" >&2; exit 255; }' _ {}
echo "Every source compiles for ARM64."
