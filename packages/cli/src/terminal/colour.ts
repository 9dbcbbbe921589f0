/** What decides about colour, strongest first. */
export interface ColourWishes {
  /** `--no-colour` was given. */
  readonly refused: boolean;
  readonly environment: Readonly<Record<string, string | undefined>>;
  /** Whether this stream, and not another one, ends at a terminal. */
  readonly isTerminal: boolean;
}

/**
 * Whether to colour a stream: never with --no-colour or a non-empty NO_COLOR (no-color.org); else as a non-empty
 * FORCE_COLOR says, 0 and false meaning no (force-color.org); else on terminals that are not dumb.
 */
export function wantsColour({ refused, environment, isTerminal }: ColourWishes): boolean {
  if (refused || environment.NO_COLOR) return false;
  const forced = environment.FORCE_COLOR;
  if (forced) return forced !== "0" && forced.toLowerCase() !== "false";
  return isTerminal && environment.TERM !== "dumb";
}
