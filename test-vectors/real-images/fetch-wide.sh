#!/usr/bin/env bash
# Fetches more real open firmware, by package, so that the count of false alarms on clean images has weight: boot loaders
# of some hundred boards, firmware of flight computers, hubs and radios, in two releases each. Only the table of
# packages/checks/soundness-table.ts --wide looks at it; no test needs it.
# usage: fetch-wide.sh [FOLDER]     Needs apt-get, dpkg, npm, tar, python3. About 115 MB to fetch, 900 MB unpacked. Nothing is installed.
set -u
folder=${1:-${ASSAY_WIDE_CORPUS:-$(dirname "$0")/../../node_modules/.cache/wide-corpus}}
mkdir -p "$folder" && out=$(cd "$folder" && pwd) || exit 2
both="altos arduino-mighty-1284p arm-trusted-firmware:arm64 crust-firmware firmware-linux-free firmware-ath9k-htc
  grub-pc-bin:amd64 hackrf-firmware ipxe ipxe-qemu memtest86+:amd64 open-roms opensbi opense-basic
  qemu-system-data seabios sigrok-firmware-fx2lafw syslinux-common ubertooth-firmware
  u-boot-exynos:armhf u-boot-imx:armhf u-boot-mvebu:arm64 u-boot-omap:armhf u-boot-qcom:arm64 u-boot-qemu
  u-boot-rockchip:arm64 u-boot-rockchip:armhf u-boot-rpi:arm64 u-boot-rpi:armel u-boot-rpi:armhf u-boot-stm32:armhf
  u-boot-sunxi:arm64 u-boot-sunxi:armhf u-boot-tegra:arm64 u-boot-tegra:armhf"
bookworm="$both jh7100-bootloader-recovery u-boot-amlogic:arm64"
trixie="$both firmware-carl9170 u-boot-sifive:riscv64 u-boot-starfive:riscv64"
npm="particle-cli@2.16.0 @pybricks/firmware@7.28.0"
A=$out/.apt
mkdir -p "$A/lists/partial" "$A/cache/archives/partial" "$A/parts"
URI=$(apt-get indextargets --format '$(ORIGIN)|$(LABEL)|$(REPO_URI)' 2>"$A/log" | sed -n 's/^Debian|Debian|//p' | sort -u | head -1)
[ -n "$URI" ] || { echo "no Debian archive in this machine's apt sources (run apt-get update once)" >&2; exit 1; }
for s in bookworm trixie; do
  echo "deb [signed-by=/usr/share/keyrings/debian-archive-keyring.gpg] $URI $s main"
done > "$A/sources.list"
apt() { apt-get -q -o Dir::Etc::sourcelist="$A/sources.list" -o Dir::Etc::sourceparts="$A/parts" \
  -o Dir::State::lists="$A/lists" -o Dir::Cache="$A/cache" -o APT::Architecture=amd64 -o APT::Architectures::=amd64 \
  -o APT::Architectures::=arm64 -o APT::Architectures::=armhf -o APT::Architectures::=armel -o APT::Architectures::=riscv64 \
  -o APT::Sandbox::User=root "$@"; }
# The name of a folder for a file: its own, without what a file system may not hold.
unpack() { # file command...
  local dir="$out/$(basename "$1" | tr ':%' '__')"
  mkdir -p "$dir" && "${@:2}" "$dir" && touch "$dir/.done"
}
missing=0
if [ ! -f "$A/.done" ]; then
  apt update >"$A/log" 2>&1 || echo "note: apt update reported problems (see $A/log)" >&2
  for release in bookworm trixie; do
    mkdir -p "$A/$release"
    for name in ${!release}; do echo "$name/$release"; done >"$A/$release.names"
    (cd "$A/$release" && apt download $(cat "$A/$release.names") >>"$A/log" 2>&1) || missing=$((missing + 1))
    for f in "$A/$release"/*.deb; do [ -f "$f" ] && unpack "$f" dpkg -x "$f"; done
  done
  [ "$missing" -eq 0 ] && touch "$A/.done"
fi
for name in $npm; do
  dir="$out/npm-$(echo "$name" | tr '@/' '__')"
  [ -f "$dir/.done" ] && continue
  mkdir -p "$A/npm" "$dir"; rm -f "$A/npm"/*
  if (cd "$A/npm" && npm pack --silent "$name" >>"$A/log" 2>&1) && tar xf "$A/npm"/*.tgz -C "$dir"; then
    find "$dir" -name '*.zip' -exec sh -c 'python3 -m zipfile -e "$1" "${1%.zip}"' - {} \;
    # Parts of these packages that are no open software.
    find "$dir" \( -name '*softdevice*' -o -name 'cc3000*' \) -delete
    touch "$dir/.done"
  else missing=$((missing + 1)); echo "MISSING $name" >&2; fi
done
rm -rf "$A/bookworm" "$A/trixie" "$A/npm"
echo "$missing fetches failed"
[ "$missing" -eq 0 ]
