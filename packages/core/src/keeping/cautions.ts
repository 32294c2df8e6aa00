import type { ComponentKeeping, Place } from "./keepFormula.js";
import { isRawEgg, isRawFlour, type Part, type Perishable } from "./perishable.js";

export const CHILL_RULE: Readonly<Record<Place, string>> = {
  gb: "not above 8 °C (England: Food Safety and Hygiene Regulations 2013, Schedule 4; Wales, Scotland and Northern Ireland have their own)",
  eu: "in an unbroken cold chain (Regulation (EC) 852/2004, Annex II), commonly at or below 5 °C; national rules set the figure",
  us: "at or below 5 °C (41 °F) (FDA Food Code 2022, 3-501.16)",
};

const OUT_OF_THE_COLD: Readonly<Record<Place, string>> = {
  gb: "Out of the cold for serving or display: one period of at most 4 hours, then back to the cold or thrown away (the same Regulations; from memory).",
  eu: "Out of the cold for serving or display: as short as can be; national rules set the time (Regulation (EC) 852/2004 sets none).",
  us: "Out of the cold: at most 4 hours by time alone, marked, then thrown away (FDA Food Code 2022, 3-501.19(B)); ready-to-eat cold food held over 24 hours is dated and used within 7 days, the day of making the first (3-501.17; from memory).",
};

const COOL_RULE: Readonly<Record<Place, string>> = {
  gb: "Cool it as quickly as possible (no figure in law); the US rule is 57 to 21 °C within 2 hours and to 5 °C within 6 in all (FDA Food Code 3-501.14).",
  eu: "Cool it as quickly as possible (Regulation (EC) 852/2004, Annex II); the US rule is 57 to 21 °C within 2 hours and to 5 °C within 6 in all (FDA Food Code 3-501.14).",
  us: "Cool it from 57 to 21 °C within 2 hours and to 5 °C within 6 in all (FDA Food Code 2022, 3-501.14).",
};

/** A part of the formula with what keeping found of it. */
export interface KeptPart {
  readonly part: Part;
  readonly keeping: ComponentKeeping;
  readonly perishable: Perishable | undefined;
}

/** The usual cautions, each with the components it is about; the last says who decides. */
export function keepingCautions(kept: readonly KeptPart[], place: Place): readonly string[] {
  const listed = (which: readonly KeptPart[]) => which.map(({ part }) => part.component.name).join(", ");
  const cautions: string[] = [];
  const add = (which: readonly KeptPart[], words: (names: string) => string) => {
    if (which.length > 0) cautions.push(words(listed(which)));
  };
  const holds = ({ part }: KeptPart, is: typeof isRawEgg) => part.found.some(({ ingredient }) => is(ingredient));
  const unbaked = kept.filter(({ part }) => !part.isBaked);

  add(
    unbaked.filter((one) => !one.part.isHeated && holds(one, isRawEgg)),
    (names) =>
      `${names}: raw or lightly cooked egg. Use pasteurised egg, or eggs from a scheme that covers salmonella; not for people at risk without advice.`,
  );
  add(
    unbaked.filter((one) => !one.part.isHeated && holds(one, isRawFlour)),
    (names) => `${names}: raw flour is not made to be eaten unbaked; use heat-treated flour.`,
  );
  add(
    unbaked.filter(({ part, perishable }) => part.isHeated && perishable !== undefined),
    (names) => `${names}: cooked filling. ${COOL_RULE[place]}`,
  );
  const cold = kept.filter(({ keeping }) => keeping.keptAt === "chilled");
  add(cold, (names) => `${names}: keep cold from making to serving, ${CHILL_RULE[place]}.`);
  if (cold.length > 0) cautions.push(OUT_OF_THE_COLD[place]);
  if (cold.length > 0 && kept.some(({ part }) => part.isBaked))
    cautions.push("Fill only when the cake is cold all through: a warm cake takes the filling out of the cold.");
  add(
    kept.filter(({ keeping }) => keeping.preserve !== undefined && keeping.preserve.solubleSolidsPercent < 60),
    (names) =>
      `${names}: below 60 % soluble solids it is not a jam by Directive 2001/113/EC and does not keep like one: keep it cold.`,
  );
  add(
    kept.filter(({ keeping }) => keeping.preserve !== undefined && keeping.preserve.solubleSolidsPercent >= 60),
    (names) => `${names}: fill into clean jars while hot, close at once; once opened keep it cold.`,
  );
  cautions.push("Estimates, not measurements. Local food law and licensed advice decide.");
  return cautions;
}
