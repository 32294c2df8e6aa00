/** A list without the entry at a place. */
export const without = <T>(all: readonly T[], index: number): readonly T[] => all.filter((_, at) => at !== index);

/** A list with the entry at a place changed. */
export const changed = <T>(all: readonly T[], index: number, one: T): readonly T[] =>
  all.map((old, at) => (at === index ? one : old));
