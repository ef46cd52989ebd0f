#!/usr/bin/env bash
# Builds the page into web/dist when its sources changed since the last build; `npm ci` when its lock file did.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../web"

command -v npm >/dev/null || { echo "npm is missing: install Node.js 20.19 or newer with npm" >&2; exit 1; }
node -e 'const [a, b] = process.versions.node.split(".").map(Number); process.exit(a > 20 || (a === 20 && b >= 19) ? 0 : 1)' ||
  { echo "Node.js $(node --version) is too old for the page's build: install 20.19 or newer" >&2; exit 1; }

lock=$(sha256sum package-lock.json package.json | sha256sum | cut -d' ' -f1)
if [ "$(cat node_modules/.lock-installed 2>/dev/null)" != "$lock" ]; then
  npm ci --no-audit --no-fund --loglevel=error
  echo "$lock" >node_modules/.lock-installed
fi

sources=$({ find src public -type f ! -name schema.d.ts -print0; printf '%s\0' index.html vite.config.ts svelte.config.js \
  tsconfig.json package-lock.json ../src/service/openapi.yaml; } | sort -z | xargs -0 sha256sum | sha256sum | cut -d' ' -f1)
if [ "$(cat dist/.built-from 2>/dev/null)" != "$sources" ]; then
  npm run --silent build
  echo "$sources" >dist/.built-from
fi
