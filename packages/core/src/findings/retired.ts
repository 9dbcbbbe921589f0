/** Codes that were released once and may never be used again, with the release that retired them. */
export const retiredCodes: Readonly<Record<string, string>> = {};
