#!/usr/bin/env bash
# Fetches the corpus that the soundness detectors are measured on: real open firmware out of Debian's packages, by name.
# usage: fetch-corpus.sh [FOLDER]     Needs apt-get and dpkg, and an apt whose lists were updated. Nothing is installed.
set -u
here=$(cd "$(dirname "$0")/../.." && pwd)
out=${1:-${ASSAY_SOUNDNESS_CORPUS:-$here/node_modules/.cache/soundness-corpus}}
# Firmware for AVR, 8051, 8086, 80386, x86-64, RISC-V, MIPS, PowerPC, SPARC, HPPA, Arm, Xtensa, OpenRISC, 6502 and Z80.
packages=${ASSAY_CORPUS_PACKAGES:-"arduino-core-avr bochsbios cbios crust-firmware efp firmware-ath9k-htc firmware-linux-free
  firmware-microbit-micropython firmware-tomu hackrf-firmware hdmi2usb-fx2-firmware ipxe-qemu isolinux memtest86+
  nxt-firmware open-roms opensbi palo qemu-system-data seabios sigrok-firmware-fx2lafw u-boot-qemu ubertooth-firmware vgabios"}
mkdir -p "$out"
missing=0
for name in $packages; do
  [ -f "$out/$name/.done" ] && continue
  work=$(mktemp -d)
  if (cd "$work" && apt-get -q -o APT::Sandbox::User=root download "$name" >/dev/null 2>&1) && dpkg -x "$work"/*.deb "$out/$name"; then
    touch "$out/$name/.done"
    echo "got $name"
  else
    rm -rf "${out:?}/$name"
    missing=$((missing + 1))
    echo "MISSING $name" >&2
  fi
  rm -rf "$work"
done
echo "$missing packages missing"
[ "$missing" -eq 0 ]
