/** The release; a test holds it to the one in package.json. */
export const VERSION = "0.1.0";
