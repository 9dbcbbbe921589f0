import { swapped, withDeadLine, withErasedPage, withNoise, withWeakPage } from "./damage.js";
import { intelHex, sRecords } from "./encode.js";
import * as fleet from "./fleet.js";
import { fullPart } from "./layout.js";
import { memoryOf } from "./unit.js";

/** Pages that did not take the write: one was never programmed, one too weakly. */
export const erasedPage = { start: 0x9a00, end: 0x9b00 };
export const weakPage = { start: 0x31400, end: 0x31500 };

/** Where the reader gave up. */
export const CUT = 0x33a00;
/** The address line whose contact was open. */
export const DEAD_LINE = 13;
/** The bits that the third read of port got wrong, anywhere in program and calibration. */
export const NOISY_BITS = 7;
/** The bit of a program that flipped with nobody correcting a checksum. */
export const FLIPPED = 0xc412;

/** Every file of the demonstration by its name, before it is packed. Made anew at each call, always the same. */
export function workboatFiles(): ReadonlyMap<string, Uint8Array> {
  const port = memoryOf(fleet.port).bytes;
  const starboard = memoryOf(fleet.starboard).bytes;
  const third = fleet.ranOn(fleet.port, "port, third read").bytes;
  const written = fleet.ranOn(fleet.port, "port, after the write").bytes;
  const content = { start: fullPart.program.start, end: fullPart.calibration.end };
  const flipped = starboard.slice();
  flipped[FLIPPED] = (flipped[FLIPPED] as number) ^ 0x10;
  return new Map<string, Uint8Array>([
    ["port.hex", intelHex(port)],
    ["starboard.bin", starboard],
    ["starboard-other-build.bin", memoryOf(fleet.otherBuild).bytes],
    ["starboard-one-byte.bin", fleet.withChangedByte().bytes],
    ["starboard-as-port.bin", memoryOf({ ...fleet.starboard, side: "port" }).bytes],
    ["starboard-clone.bin", fleet.ranOn(fleet.port, "clone of port").bytes],
    ["starboard-bad-checksum.bin", flipped],
    ["starboard-short.bin", starboard.slice(0, CUT)],
    ["starboard-swapped.bin", swapped(starboard)],
    ["port-read-2.bin", fleet.ranOn(fleet.port, "port, second read").bytes],
    ["port-read-3.bin", withNoise(third, content, NOISY_BITS, "third read")],
    ["port-line.bin", withDeadLine(port, DEAD_LINE)],
    ["donor-same.s19", sRecords(memoryOf(fleet.donor).bytes, "donor-same")],
    ["donor-later-boot.bin", memoryOf(fleet.laterDonor).bytes],
    ["donor-other-hardware.bin", memoryOf(fleet.otherHardware).bytes],
    ["donor-smaller.bin", memoryOf(fleet.smallDonor).bytes],
    ["readback-good.bin", written],
    ["readback-failed-page.bin", withWeakPage(withErasedPage(written, erasedPage), weakPage, 12)],
  ]);
}
