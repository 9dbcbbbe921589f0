import { SCALARS } from "./layout.js";
import type { Memory, Span } from "./memory.js";
import { Random } from "./random.js";

/** What the code of the family refers to in the calibration: the same places in every calibration of one part size. */
export interface CalibrationPlaces {
  readonly tables: readonly number[];
  readonly scalars: readonly number[];
}

interface Table {
  readonly at: number;
  readonly columns: number;
  /** One for a curve. */
  readonly rows: number;
}

/** An axis runs over a physical quantity in its stored unit. */
const quantities = [
  { low: 600, high: 2600, step: 50 }, // speed, 1/min
  { low: 0, high: 3200, step: 40 }, // torque, 0.5 Nm
  { low: 233, high: 413, step: 5 }, // temperature, K
  { low: 900, high: 3400, step: 50 }, // charge pressure, mbar
  { low: 0, high: 1000, step: 10 }, // lever, per mille
  { low: 180, high: 320, step: 5 }, // supply, 0.1 V
] as const;

/** Axes in physical steps and surfaces that bend gently, as 16-bit words with their counts in front. */
export function writeCalibration(memory: Memory, span: Span, label: string): void {
  const random = new Random(`calibration ${label}`);
  for (const table of tablesIn(span)) writeTable(memory, table, random);
  writeScalars(memory, span.start + SCALARS, random);
  const directory = span.start + 0x40;
  const tables = tablesIn(span);
  memory.put16(directory - 2, tables.length);
  for (const [i, { at }] of tables.entries()) memory.put32(directory + 4 * i, at);
}

export function placesIn(span: Span): CalibrationPlaces {
  return {
    tables: tablesIn(span).map(({ at }) => at),
    scalars: Array.from({ length: 96 }, (_, i) => span.start + SCALARS + 2 * i),
  };
}

function tablesIn(span: Span): readonly Table[] {
  const random = new Random("family tables");
  const tables: Table[] = [];
  let at = span.start + 0x200;
  while (tables.length < 100) {
    const curve = random.chance(0.45);
    const columns = random.pick(curve ? [5, 8, 9, 12, 16] : [6, 8, 8, 10, 12, 16]);
    const rows = curve ? 1 : random.pick([4, 6, 8, 8, 10, 12]);
    const size = 4 + 2 * (columns + (curve ? 0 : rows) + columns * rows);
    const scalars = span.start + SCALARS;
    if (at < scalars && at + size > scalars) at = scalars + 0x180;
    if (at + size > span.end - 0x1800) break;
    tables.push({ at, columns, rows });
    at += size;
  }
  return tables;
}

function writeTable(memory: Memory, { at, columns, rows }: Table, random: Random): void {
  memory.put16(at, columns);
  memory.put16(at + 2, rows);
  let next = at + 4;
  const axis = (count: number) => {
    for (const value of axisOf(random, count)) {
      memory.put16(next, value);
      next += 2;
    }
  };
  axis(columns);
  if (rows > 1) axis(rows);
  const surface = surfaceOf(random);
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++, next += 2) {
      memory.put16(next, surface(column / (columns - 1), rows === 1 ? 0 : row / (rows - 1)));
    }
  }
}

function axisOf(random: Random, count: number): readonly number[] {
  const { low, high, step } = random.pick(quantities);
  const bend = 0.8 + 0.5 * random.next();
  const values: number[] = [];
  for (let i = 0; i < count; i++) {
    const wanted = low + step * Math.round(((high - low) * (i / (count - 1)) ** bend) / step);
    values.push(Math.max(wanted, (values[i - 1] ?? wanted - step) + step));
  }
  return values;
}

/** A surface over the unit square, rounded the way a calibrator's tool rounds. */
function surfaceOf(random: Random): (x: number, y: number) => number {
  const height = random.pick([255, 1000, 3000, 8000, 16000]);
  const ground = height * 0.4 * random.next();
  const [alongX, alongY, both, bump] = [random.next(), random.next() * 0.7, 0.4 * random.next(), 0.25 * random.next()];
  const [summitX, summitY] = [random.next(), random.next()];
  const falling = random.chance(0.3);
  const step = random.pick([1, 1, 2, 5, 10]);
  return (x, y) => {
    const across = falling ? 1 - x : x;
    const hill = Math.exp(-6 * ((x - summitX) ** 2 + (y - summitY) ** 2));
    const value = ground + (height * (alongX * across + alongY * y + both * across * y + bump * hill)) / 2;
    return Math.min(0xffff, step * Math.round(value / step));
  };
}

/** Single settings: idle speed, top speed, torque limit and many more; then switches of one byte. */
function writeScalars(memory: Memory, at: number, random: Random): void {
  const leading = [650 + 10 * random.below(8), 2500 + 50 * random.below(4), 3000 + 20 * random.below(12)];
  for (const [i, value] of leading.entries()) memory.put16(at + 2 * i, value);
  for (let i = leading.length; i < 96; i++) {
    memory.put16(at + 2 * i, random.pick([random.below(10), 5 * random.below(40), 50 * random.below(100), 0x8000]));
  }
  for (let i = 0; i < 0x80; i++) memory.put(at + 0x100 + i, [random.pick([0, 0, 0, 1, 1, 2])]);
}
