import type { Memory, Span } from "./memory.js";
import { Random } from "./random.js";

/** Hours run, starts, and what the unit has learnt about its engine. */
export function writeLearnt(memory: Memory, { start }: Span, worn: string): void {
  const random = new Random(`learnt ${worn}`);
  memory.put32(start, 60 * random.between(2000, 9000) + random.below(60));
  memory.put32(start + 4, random.between(900, 4000));
  for (let i = 0; i < 160; i++) memory.put16(start + 0x10 + 2 * i, 0x8000 + random.between(-300, 300));
  for (let i = 0; i < 24; i++) memory.put16(start + 0x200 + 2 * i, 20 * random.below(50));
}

/** Up to a dozen noted faults: code, how often, first and last hour, five values of the moment. */
export function writeFaults(memory: Memory, { start }: Span, worn: string): void {
  const random = new Random(`faults ${worn}`);
  const count = random.between(2, 12);
  memory.put16(start, count);
  for (let i = 0; i < count; i++) {
    const at = start + 0x20 + 0x20 * i;
    const first = random.between(10, 4000);
    memory.put16(at, 0x2000 + random.below(0x180));
    memory.put16(at + 2, random.between(1, 40));
    memory.put32(at + 4, first);
    memory.put32(at + 8, first + random.below(3000));
    for (let j = 0; j < 5; j++) memory.put16(at + 0x0c + 2 * j, random.between(200, 2600));
  }
}
