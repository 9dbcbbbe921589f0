import type { ByteOrder } from "../../src/bytes/word.js";
import type { Random } from "../reference/random.js";

/** How a table is to lie in the memory. */
export interface Planting {
  readonly columns: number;
  /** 1 for a curve. */
  readonly rows: number;
  /** Bytes of a value, and of a point. */
  readonly width: 1 | 2;
  readonly pointWidth: 1 | 2;
  readonly order: ByteOrder;
  /** Bytes of each number of points in front; 0 for none. */
  readonly counts: 0 | 1 | 2;
  readonly signed: boolean;
  /** Share of the height of the surface by which a value is off at most. */
  readonly noise: number;
  readonly falling: boolean;
}

/** Where its parts came to lie. */
export interface Planted {
  readonly start: number;
  readonly values: number;
  readonly end: number;
}

/** Writes an invented table into `host` at `at`: axes in even, doubling or uneven steps, a surface that bends gently. */
export function plant(host: Uint8Array, at: number, planting: Planting, random: Random): Planted {
  const { columns, rows, width, pointWidth, order, counts, signed, noise, falling } = planting;
  let next = at;
  const put = (value: number, bytes: number) => {
    const whole = Math.round(value) & (bytes === 1 ? 0xff : 0xffff);
    const all = bytes === 1 ? [whole] : order === "big" ? [whole >> 8, whole & 0xff] : [whole & 0xff, whole >> 8];
    for (const byte of all) host[next++] = byte;
  };
  if (counts > 0) for (const count of rows > 1 ? [columns, rows] : [columns]) put(count, counts);
  for (const count of rows > 1 ? [columns, rows] : [columns]) {
    const points = axis(count, pointWidth === 1 ? 255 : 65535, random);
    for (const point of falling ? points.reverse() : points) put(point, pointWidth);
  }
  if (width === 2 && next % 2 === 1) put(0, 1);
  const values = next;
  const surface = surfaceOf(width === 1 ? 255 : 65535, random);
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      const { value, height, top } = surface(column / (columns - 1), rows > 1 ? row / (rows - 1) : 0);
      const off = Math.max(0, Math.min(top, value + noise * height * share(random, -1, 1)));
      put(signed ? off - (top + 1) / 2 : off, width);
    }
  }
  return { start: at, values, end: next };
}

function axis(count: number, top: number, random: Random): number[] {
  const kind = random.below(3);
  const start = random.below(2) === 0 ? 0 : random.below(Math.floor(top / 5));
  const steps = Array.from({ length: count - 1 }, (_, i) =>
    kind === 0 ? 1 : kind === 1 ? (i < count / 2 ? 1 : 2) : 1 + random.below(3),
  );
  const whole = steps.reduce((sum, step) => sum + step, 0);
  const unit = Math.max(1, Math.floor(((top - start) * share(random, 0.3, 0.99)) / whole));
  const points = [start];
  for (const step of steps) points.push((points.at(-1) as number) + step * unit);
  return points;
}

/** Values over the unit square, between a ground and a height above it, drawn by chance. */
function surfaceOf(top: number, random: Random) {
  const height = top * share(random, 0.15, 0.65);
  const ground = (top - height) * share(random, 0, 1);
  const [bendX, bendY, phaseX, phaseY] = [
    share(random, 0.5, 4),
    share(random, 0.5, 4),
    share(random, 0, 6.28),
    share(random, 0, 6.28),
  ];
  const twist = share(random, 0, 0.3);
  return (x: number, y: number) => {
    const wave = 0.5 + 0.25 * Math.sin(bendX * x + phaseX) + 0.25 * Math.sin(bendY * y + phaseY);
    const level = Math.max(0, Math.min(1, wave + twist * (x - 0.5) * (y - 0.5)));
    return { value: ground + height * level, height, top };
  };
}

function share(random: Random, from: number, to: number): number {
  return from + ((to - from) * random.below(1001)) / 1000;
}
