/**
 * Who may import whom in the core: a folder may import from itself and from lines above its own, never from one below
 * and never from a sibling on its line. No circle can form in an ordered list.
 */
export const layers: readonly (readonly string[])[] = [
  ["bytes"],
  ["findings"],
  ["algorithms"],
  ["image"],
  ["formats"],
  ["names"],
  ["profile"],
  ["job"],
  ["unit"],
  ["soundness"],
  ["identity", "checksums", "fingerprint"],
  ["processor", "tables"],
  ["compare"],
  ["discover"],
  ["draft"],
  ["compose"],
  ["rules"],
  ["verdict"],
  ["report"],
  ["record"],
  ["questions"],
  ["index.ts"],
];

const measuring = [
  "unit",
  "soundness",
  "identity",
  "checksums",
  "fingerprint",
  "processor",
  "tables",
  "compare",
  "discover",
  "compose",
];

/** What a folder knows nothing of though it stands above it: what measures names no finding, what judges holds no image. */
export const strangers: Readonly<Record<string, readonly string[]>> = {
  ...Object.fromEntries(measuring.map((folder) => [folder, ["findings"]])),
  rules: ["image", "formats", "algorithms"],
};

/** Libraries that only one place imports: what is behind it can be exchanged by changing that place. */
export const soleImporters: Readonly<Record<string, RegExp>> = {
  "@noble/hashes": /^algorithms\/digest\.ts$/,
  fflate: /^formats\/container\.ts$/,
  re2js: /^profile\/pattern\.ts$/,
  "fast-xml-parser": /^profile\/.*xml.*\.ts$/,
  zod: /(^|\/)schema(\/|\.ts$)|^profile\/(document|problems)\.ts$|^job\//,
};
