import { placesIn, writeCalibration } from "./calibration.js";
import { fullPart, type Layout } from "./layout.js";
import { Memory, type Span } from "./memory.js";
import { type Software, writeProgram } from "./program.js";
import { Random } from "./random.js";
import { crc16, crc32, wordSum } from "./sums.js";
import { writeFaults, writeLearnt } from "./wear.js";

export type Side = "port" | "starboard";

/** A software as the maker put it out, with the calibration that goes with it and the engine that both are for. */
export interface Release {
  readonly software: string;
  readonly calibration: string;
  readonly engine: string;
}

/** All that makes one unit what it is. */
export interface Unit {
  readonly layout: Layout;
  readonly boot: string;
  readonly release: Release;
  /** The market and the engine that the unit is coded for. */
  readonly market: number;
  readonly engine: string;
  readonly side: Side;
  readonly hardware: string;
  readonly part: string;
  readonly serial: string;
  readonly produced: string;
  readonly machine: string;
  readonly commissioned: string;
  /** What it has learnt and noted down by itself so far. */
  readonly worn: string;
}

/** A unit's memory, with all its checksums right. */
export function memoryOf(unit: Unit): Memory {
  const { layout, release } = unit;
  const memory = new Memory(layout.size);
  writeBoot(memory, unit);
  writeSoftware(memory, unit);
  writeCalibration(memory, layout.calibration, release.calibration);
  memory.text(layout.calibration.start, release.calibration, 12);
  memory.text(layout.calibration.start + 0x10, release.software, 12);
  writeCoding(memory, unit);
  writeBank(memory, unit);
  writeIdentity(memory, unit);
  const key = new Random(`key ${unit.serial}`);
  memory.put(
    layout.immobiliser.start,
    Array.from({ length: 0x100 }, () => key.below(256)),
  );
  writeLearnt(memory, layout.adaptation, unit.worn);
  writeFaults(memory, layout.faults, unit.worn);
  memory.text(layout.size - 0x10, "WB40 END OF PART");
  storeChecksums(memory, layout);
  return memory;
}

/** What the start code's 32-bit words add up to, with the last of them. */
export const BOOT_TOTAL = 0x5aa55aa5;

/** Makes all five checksums right for what the memory now holds. */
export function storeChecksums(memory: Memory, layout: Layout = fullPart): void {
  const { boot, program, calibration, coding, bank, identity, machine } = layout;
  const without = ({ start, end }: Span, bytes: number) => memory.of({ start, end: end - bytes });
  const rest = (BOOT_TOTAL - wordSum(without(boot, 4), 4) + 2 ** 32) % 2 ** 32;
  memory.put32(boot.end - 4, rest);
  memory.put32(program.end - 4, crc32(without(program, 4)));
  const value = crc16(without(calibration, 4));
  memory.put16(calibration.end - 4, value);
  memory.put16(calibration.end - 2, 0xffff - value);
  memory.put16(coding.end - 2, (wordSum(without(coding, 2), 2) + wordSum(memory.of(bank), 2)) % 0x10000);
  const sum = (wordSum(without(identity, 2), 2) + wordSum(memory.of(machine), 2)) % 0x10000;
  memory.put16(identity.end - 2, 0xffff - sum);
}

function writeBoot(memory: Memory, { layout, boot }: Unit): void {
  const code: Software = { label: `boot ${boot}`, library: 30, own: 22, size: 14 };
  const start = layout.boot.start + 0x120;
  const routines = writeProgram(memory, { start, end: layout.boot.end - 4 }, code, placesIn(layout.calibration));
  const random = new Random(`vectors ${boot}`);
  // The first vectors are the stack, the start and the faults of the processor; most others share one handler.
  memory.put32(layout.boot.start, 0x00ffc000);
  for (let i = 1; i < 64; i++) {
    const shared = i > 8 && random.chance(0.6);
    memory.put32(layout.boot.start + 4 * i, routines[shared ? 7 : random.below(routines.length)] as number);
  }
  memory.text(layout.boot.start + 0x100, `WB40 BOOT ${boot}\0`);
}

const HEADER = 0x80;

function writeSoftware(memory: Memory, { layout, release }: Unit): void {
  const { software, engine } = release;
  const { start, end } = layout.program;
  const full = layout === fullPart;
  const code: Software = { label: software, library: full ? 135 : 110, own: full ? 115 : 60, size: 24 };
  const places = placesIn(layout.calibration);
  const routines = writeProgram(memory, { start: start + HEADER, end: end - 4 }, code, places);
  memory.put32(start, routines[HEADER / 2] as number);
  memory.put32(start + 4, layout.calibration.start);
  memory.put32(start + 8, end);
  memory.text(start + 0x10, software, 12);
  memory.text(start + 0x20, `harbour workboat, engine ${engine}`, 40);
  memory.text(start + 0x50, "(c) nobody, an invented program", 32);
}

/** Firing order of the port engine; the starboard engine turns the other way and fires in reverse. */
const FIRING = { port: [1, 5, 3, 6, 2, 4], starboard: [1, 4, 2, 6, 3, 5] } as const;

function writeCoding(memory: Memory, { layout, market, engine, side }: Unit): void {
  const at = layout.coding.start;
  memory.put16(at, 0x0102);
  memory.put(at + 2, [market]);
  memory.text(at + 3, side === "port" ? "P" : "S");
  memory.text(at + 4, engine, 4);
  memory.text(at + 8, "G21", 4);
  memory.text(at + 0x0c, `${market}-${engine}-G21`, 12);
  memory.put(at + 0x18, FIRING[side]);
  memory.put(at + 0x1e, [side === "port" ? 0x5a : 0xa5, 0b0010_1101]);
  memory.put16(at + 0x20, 2030); // gear ratio, thousandths
  memory.put16(at + 0x22, 1150); // propeller pitch, mm
}

/** What follows the engine's place in the boat: trims by cylinder, and the exhaust sensors towards hull and keel. */
function writeBank(memory: Memory, { layout, side, engine }: Unit): void {
  const at = layout.bank.start;
  memory.text(at, "BANK");
  memory.put16(at + 4, 6);
  memory.put16(at + 6, 8);
  const random = new Random(`trims ${engine}`);
  const trims = Array.from({ length: 6 }, () => Array.from({ length: 8 }, () => 0x8000 + random.between(-40, 40)));
  for (const [i, cylinder] of FIRING[side].entries()) {
    for (const [j, trim] of (trims[cylinder - 1] as number[]).entries()) memory.put16(at + 0x10 + 16 * i + 2 * j, trim);
  }
  const channels = [
    [7, 1024, 0x0113, 40],
    [12, 1019, 0x0117, 55],
  ] as const;
  for (const [i, channel] of (side === "port" ? channels : [...channels].reverse()).entries()) {
    for (const [j, value] of channel.entries()) memory.put16(at + 0x80 + 8 * i + 2 * j, value);
  }
}

function writeIdentity(memory: Memory, unit: Unit): void {
  const at = unit.layout.identity.start;
  memory.text(at, unit.hardware, 12);
  memory.text(at + 0x10, unit.part, 12);
  memory.text(at + 0x20, unit.serial, 10);
  memory.bcd(at + 0x2c, unit.produced);
  memory.text(unit.layout.machine.start, unit.machine, 16);
  memory.bcd(unit.layout.machine.start + 0x10, unit.commissioned);
}
