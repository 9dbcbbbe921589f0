import { createHash } from "node:crypto";
import { readFileSync, readlinkSync } from "node:fs";
import { hostname } from "node:os";
import type { Processes } from "./world.js";

/** The processes as Node shows them. */
export function nodeProcesses(): Processes {
  return {
    own: process.pid,
    get place() {
      return place();
    },
    isRunning,
  };
}

/**
 * The machine, its start and its name space of process numbers, as far as the system tells them, in 16 digits: two
 * containers, or a machine before and after a new start, see each other's processes under no number or a wrong one.
 */
function place(): string {
  const told = (tell: () => string) => {
    try {
      return tell();
    } catch {
      return "";
    }
  };
  const parts = [
    hostname(),
    told(() => readFileSync("/proc/sys/kernel/random/boot_id", "utf8")),
    told(() => readlinkSync("/proc/self/ns/pid")),
  ];
  return createHash("sha256").update(parts.join("\n")).digest("hex").slice(0, 16);
}

function isRunning(number: number): boolean {
  try {
    process.kill(number, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code !== "ESRCH";
  }
}
