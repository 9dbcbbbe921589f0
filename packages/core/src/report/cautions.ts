/** What is said beside an answer wherever somebody could act on it and be hurt. */
export const cautions = {
  scope:
    "A verdict speaks of the files given, not of the unit's electronics. The licensed or qualified person decides; local codes and the maker's procedure come first.",
  firstStart:
    "Wrong control software can make a machine start, move or rev unexpectedly: make the first start with the drive disengaged, people clear, and a means to cut fuel and ignition at hand.",
  release:
    "Software that governs emissions, speed or safety may only be what the maker released for that machine; local law decides.",
  ownership:
    "Immobiliser and machine-number data are copied only for their owner, with proof. They are compared and carried whole, never decoded, shown or edited.",
} as const;
