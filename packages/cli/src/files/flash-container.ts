import { dirname } from "node:path";
import {
  containerProfile,
  type Decoded,
  decodeSession,
  type FilesBeside,
  type FlashContainer,
  type FlashContainerKind,
  type FlashSession,
  filesOf,
  flashDocuments,
  openPackage,
  type Profile,
  Refusal,
  readFlashContainer,
  sessionOf,
  unpackedDocument,
} from "@assay/core";
import type { World } from "../world.js";
import { placeInFolder } from "./in-folder.js";
import { readFile, STANDARD_INPUT } from "./read.js";

/** Which session of a container, and how much may come out of it. */
export interface ContainerWishes {
  readonly session?: string | undefined;
  readonly limit: number;
}

/**
 * The image of a session of the flash container whose bytes were read from `path`.
 * @throws Refusal when it cannot be read, or has no such session
 */
export async function readSessionImage(
  world: World,
  path: string,
  bytes: Uint8Array,
  kind: FlashContainerKind,
  wishes: ContainerWishes,
): Promise<Decoded> {
  const { session, files } = await open(world, path, bytes, kind, wishes);
  return decodeSession(session, await files());
}

/**
 * What a session of such a container says, as a profile.
 * @throws Refusal as `readSessionImage`, and when it has no block with an address
 */
export async function readContainerProfile(
  world: World,
  path: string,
  bytes: Uint8Array,
  kind: FlashContainerKind,
  wishes: ContainerWishes,
): Promise<Profile> {
  const { container, session } = await open(world, path, bytes, kind, wishes);
  return containerProfile(container, session);
}

interface Opened {
  readonly container: FlashContainer;
  readonly session: FlashSession;
  readonly files: () => Promise<FilesBeside>;
}

async function open(
  world: World,
  path: string,
  bytes: Uint8Array,
  kind: FlashContainerKind,
  { session: wanted, limit }: ContainerWishes,
): Promise<Opened> {
  if (kind === "odx-f") {
    const document = unpackedDocument(bytes, { bytes: limit });
    const container = readFlashContainer(textOf(document));
    const session = sessionOf(container, wanted);
    return { container, session, files: () => filesInFolder(world, path, filesOf(session), limit) };
  }
  const packed = openPackage(bytes, { bytes: limit });
  const documents = flashDocuments(packed.names);
  const [name, ...others] = documents;
  if (name === undefined || others.length > 0) {
    throw new Refusal("container/several", `package: expected one flash document, got ${documents.length}`);
  }
  const container = readFlashContainer(textOf(packed.read(name) ?? new Uint8Array(0)));
  const session = sessionOf(container, wanted);
  // A name counts from where the document lies.
  const folder = name.slice(0, name.lastIndexOf("/") + 1);
  const inside = (file: string): [string, Uint8Array][] => {
    const content = packed.read(`${folder}${file}`);
    return content ? [[file, content]] : [];
  };
  return { container, session, files: () => Promise.resolve(new Map(filesOf(session).flatMap(inside))) };
}

/** The files of those names in the folder of `path`, as far as they are there. Links that lead out of it are refused. */
async function filesInFolder(
  world: World,
  path: string,
  names: readonly string[],
  limit: number,
): Promise<FilesBeside> {
  const found = new Map<string, Uint8Array>();
  if (names.length > 0 && path === STANDARD_INPUT) {
    throw new Refusal("container/no-folder", "expected a file whose folder holds the data, got standard input");
  }
  let left = limit;
  for (const name of names) {
    const place = placeInFolder(world, dirname(path), name, "container/outside-folder");
    if (place === undefined) continue;
    const file = await readFile(world, place, left);
    if (file.source) world.kept.push(file.source);
    left -= file.bytes.length;
    found.set(name, file.bytes);
  }
  return found;
}

/** The text of a document, in the encoding that its declaration names, or UTF-8. */
function textOf(bytes: Uint8Array): string {
  const head = Buffer.from(bytes.subarray(0, 200)).toString("latin1");
  const named = /^(?:\xef\xbb\xbf)?<\?xml[^>]*encoding=["']([A-Za-z0-9._-]{1,40})["']/.exec(head)?.[1] ?? "utf-8";
  try {
    return new TextDecoder(named, { fatal: true }).decode(bytes);
  } catch {
    throw new Refusal("input/not-text", `expected text in ${named.toUpperCase()}, got other bytes`);
  }
}
