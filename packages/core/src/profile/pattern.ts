import { RE2JS } from "re2js";

/** Patterns of profiles: matched in time linear in the text, whatever the pattern. */

/** What is wrong with `pattern`, or undefined when it can be used. */
export function patternProblem(pattern: string): string | undefined {
  try {
    RE2JS.compile(pattern);
    return undefined;
  } catch (error) {
    const { message } = error as Error;
    if (/\(\?(<?[=!])/.test(message)) return "look-around, which needs more than one pass over the text";
    if (/invalid escape sequence: `\\[1-9k]/.test(message)) return "a back-reference, which needs more than one pass";
    return message.replace(/^error parsing regexp: /, "");
  }
}

/** Whether the whole of `text` matches `pattern`, which must have no problem. */
export function matchesWhole(pattern: string, text: string): boolean {
  return RE2JS.matches(pattern, text);
}
