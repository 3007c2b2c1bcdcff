#!/usr/bin/env bash
# Lays build/android: what Buildozer packs. Buildozer wants main.py and the packages side by side, and copies, not links.
set -euo pipefail
cd "$(dirname "$0")/.."
into="${1:-build/android}"
mkdir -p "$into"
# Buildozer's own folders, .buildozer and bin, stay: they are dear to make again.
rm -rf "$into/mobile" "$into/shared" "$into/main.py" "$into/buildozer.spec"
for package in mobile shared; do
  (find "$package" -type f \( -name '*.py' -o -name '*.kv' -o -name '*.toml' -o -name '*.ttf' -o -name '*.txt' \) -print0 |
    sort -z | xargs -0 cp --parents -t "$into")
done
cp LICENSE "$into/LICENSE.txt"
cp mobile/buildozer.spec mobile/intent_filters.xml mobile/queries.xml "$into/"
printf 'from mobile.main import main\nmain()\n' >"$into/main.py"
echo "Laid $into. With the Android SDK: cd $into && buildozer android debug"
