"use strict";
const { readFileSync } = require("node:fs");
const { createRequire } = require("node:module");
const { join } = require("node:path");
const { pathToFileURL } = require("node:url");
const { Script } = require("node:vm");
const { crc32 } = require("node:zlib");

const dist = join(__dirname, "../dist");
const bundle = join(dist, "assay.cjs");

/**
 * The program in dist/, with the code that the build had Node compile of it: compiling it at every start takes longer than
 * most of what it is asked for. Without fitting code it is compiled as ever.
 */
exports.loadProgram = () => {
  const text = readFileSync(bundle);
  const cachedData = compiledCode(text);
  // The build leaves nothing but ASCII in it.
  const script = new Script(text.latin1Slice(), { filename: bundle, ...(cachedData && { cachedData }) });
  const module = { exports: {} };
  script.runInThisContext()(module.exports, createRequire(bundle), module, pathToFileURL(bundle).href);
  return { starts: module.exports.starts, keep: () => keptCode(text, script.createCachedData()) };
};

/**
 * Node takes whatever another build of it did not make, and runs it unseen. So a checksum of text and code stands in front: a
 * damaged file, or the code of another text, must not decide anything.
 */
function compiledCode(text) {
  try {
    const kept = readFileSync(join(dist, "assay.cache"));
    const code = kept.subarray(checkLength);
    return kept.latin1Slice(0, checkLength) === checkOf(text, code) ? code : undefined;
  } catch {
    return undefined; // it need not be there
  }
}

function keptCode(text, code) {
  return Buffer.concat([Buffer.from(checkOf(text, code), "latin1"), code]);
}

const checkLength = 8;
function checkOf(text, code) {
  return crc32(code, crc32(text)).toString(16).padStart(checkLength, "0");
}
