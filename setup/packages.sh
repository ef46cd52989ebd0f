#!/usr/bin/env bash
# Installs the Debian packages named in the lists given, those that are missing only. Asks nothing.
#   setup/packages.sh setup/packages-run.txt [more lists...]
set -euo pipefail

mapfile -t wanted < <(grep -hvE '^(#|$)' "$@" | sort -u)
missing=()
for package in "${wanted[@]}"; do
  status=$(dpkg-query -W -f '${db:Status-Status}' "$package" 2>/dev/null || true)
  [ "$status" = installed ] || missing+=("$package")
done
[ ${#missing[@]} -eq 0 ] && exit 0

as_root=()
if [ "$(id -u)" -ne 0 ]; then
  as_root=(sudo -n)
  sudo -n true 2>/dev/null || {
    echo "These Debian packages are missing and installing them needs root:" >&2
    echo "  apt-get install --no-install-recommends ${missing[*]}" >&2
    exit 1
  }
fi
echo "Installing ${#missing[@]} Debian packages: ${missing[*]}"
export DEBIAN_FRONTEND=noninteractive
"${as_root[@]}" apt-get update -qq
"${as_root[@]}" apt-get install -y -qq --no-install-recommends "${missing[@]}" >/dev/null
