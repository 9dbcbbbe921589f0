import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join, relative } from "node:path";
import { decode } from "../../src/formats/decode.js";
import type { Image } from "../../src/image/image.js";
import { hashOf, folders as soundnessFolders } from "../soundness/corpus.js";

/** A real open image, and the family of processors that it was built for. */
export interface BuiltImage {
  readonly name: string;
  readonly image: Image;
  /** As the package says; `other` when it is none that the program knows, `none` when there is no program in it. */
  readonly family: string;
}

/** Beside the images of the other tests, a folder of fetch-processors.sh where there is one. */
export const folders: readonly string[] = [
  ...soundnessFolders,
  ...(process.env.ASSAY_PROCESSOR_CORPUS ? [process.env.ASSAY_PROCESSOR_CORPUS] : []),
];

const wanted =
  /\.(bin|rom|img|fw|nes|dfu|hex|ihx|elf|lid)$|\/(iplboot|palcode-clipper|BIOS-[a-z-]+|openbios-[a-z0-9]+|kernal|basic|chargen)$|\/lib[mc]\.so\.6(\.1)?$|\/libstdc\+\+\.so\.6[.\d]*$/;
const passedOver = /edid|intelhex|\/doc\//;
const smallest = 200;
const largest = 8 * 2 ** 20;

/**
 * What the images were built for, by the names of packages and files and by what the packages' descriptions say. An ELF
 * file says it itself, and is held against this in the test.
 */
const families: readonly (readonly [path: RegExp, family: string])[] = [
  [/palcode-clipper|dsp56k|crust|alpha-cross/, "other"],
  [/isci_firmware|chargen|logo_msx1\.rom/, "none"],
  [/firehose|qemu_arm64|arm64-cross/, "aarch64"],
  [/avr|stk500/, "avr"],
  [/sigrok|fx2|usbdux|keyspan/, "8051"],
  [/cbios/, "z80"],
  [/efp|open-roms/, "6502"],
  [/ath9k/, "xtensa"],
  [/carl9170|sh4-cross/, "superh"],
  [/nxt|npcm7xx|av7110|tomu|hackrf|ubertooth|microbit|particle|altos|qemu_arm|arm(hf|el)-cross/, "arm"],
  [/riscv/, "riscv"],
  [/palo|hppa/, "hppa"],
  [/slof|vof|openbios-ppc|ppce500|skiboot|powerpc-cross|ppc64el-cross/, "powerpc"],
  // Programs of the boot language, of which only the processor runs no instruction.
  [/QEMU,/, "none"],
  [/openbios-sparc|sparc64-cross/, "sparc"],
  [/s390/, "s390"],
  [/malta|mips(el)?-cross/, "mips"],
  [/m68k-cross/, "68000"],
  [
    /bochs|seabios|vgabios|ipxe|isolinux|ISOLINUX|memtest|x86|kvmvapic|qboot|sgabios|linuxboot|multiboot|pvh|i386-cross/,
    "x86",
  ],
];

/** e_machine of the ELF header (System V ABI, gABI, chapter 4), by the family that it stands for. */
const machines: Readonly<Record<number, string>> = {
  2: "sparc",
  3: "x86",
  4: "68000",
  8: "mips",
  15: "hppa",
  18: "sparc",
  20: "powerpc",
  21: "powerpc",
  22: "s390",
  40: "arm",
  42: "superh",
  43: "sparc",
  62: "x86",
  83: "avr",
  183: "aarch64",
  243: "riscv",
};

/** The family that an ELF file says it is for; undefined of other files. */
export function machineOf(file: Uint8Array): string | undefined {
  if (file[0] !== 0x7f || file[1] !== 0x45 || file[2] !== 0x4c || file[3] !== 0x46) return undefined;
  const [low, high] = file[5] === 1 ? [18, 19] : [19, 18];
  return machines[(file[low] as number) + 256 * (file[high] as number)];
}

/** Every image there is, each content once, in the order of names, with those whose own header says otherwise. */
export function loadBuilt(): { readonly images: readonly BuiltImage[]; readonly contradicted: readonly string[] } {
  const images = new Map<string, BuiltImage>();
  const contradicted: string[] = [];
  for (const folder of folders) {
    if (!existsSync(folder)) continue;
    for (const path of filesIn(folder)) {
      const file = new Uint8Array(readFileSync(path));
      const name = relative(folder, path);
      const family = families.find(([pattern]) => pattern.test(name))?.[1];
      if (file.length < smallest || file.length > largest || !family) continue;
      const { image } = decode(file, { unpack: "never" });
      const stated = machineOf(file);
      if (stated !== undefined && stated !== family) contradicted.push(name);
      if (image.length > 0) images.set(`${file.length}:${hashOf(file)}`, { name, image, family });
    }
  }
  return { images: [...images.values()].sort((a, b) => (a.name < b.name ? -1 : 1)), contradicted };
}

function* filesIn(folder: string): Generator<string> {
  for (const entry of readdirSync(folder, { withFileTypes: true })) {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) yield* filesIn(path);
    else if (entry.isFile() && wanted.test(path) && !passedOver.test(path)) yield path;
  }
}
