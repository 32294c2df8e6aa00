import type { Figure, Problem, Reading } from "../quantities/index.js";
import {
  type Allergen,
  type Ingredient,
  NUTRIENTS,
  type Nutrient,
  type NutrientFigures,
  type Pack,
  type Role,
} from "./ingredient.js";
import { slugOf } from "./nameMatching.js";
import { checkDeclared, type Declared, energyByFactors } from "./plausible.js";
import { type FurtherStatement, readFurtherStatement } from "./statedFurther.js";

/** The nutrition declaration of a packet, grams per 100 g. What the packet does not say is left out. */
export interface PacketDeclaration {
  readonly energyKj?: number;
  readonly energyKcal?: number;
  readonly fat?: number;
  readonly saturates?: number;
  readonly monounsaturates?: number;
  readonly polyunsaturates?: number;
  /** As an EU or British packet prints it, without fibre; see `carbohydrateIncludesFibre`. */
  readonly carbohydrate?: number;
  readonly sugars?: number;
  readonly polyols?: number;
  readonly starch?: number;
  readonly fibre?: number;
  readonly protein?: number;
  /** Salt, not sodium: sodium x 2.5. */
  readonly salt?: number;
  readonly alcohol?: number;
}

export interface Packet {
  /** kebab-case; made from the name when not given. */
  readonly id?: string;
  readonly name: string;
  readonly usName?: string;
  readonly otherNames?: readonly string[];
  readonly role: Role;
  readonly per100g: PacketDeclaration;
  /** What a US packet or the supplier's specification says besides, per 100 g, in the unit of the name. */
  readonly furtherPer100g?: FurtherStatement;
  /** True for a US packet, whose total carbohydrate holds the fibre. */
  readonly carbohydrateIncludesFibre?: boolean;
  /** Water per 100 g when the baker knows it; "by-difference" to have it computed as what is left of 100 g. */
  readonly waterGrams?: number | "by-difference";
  readonly densityGPerMl?: number;
  readonly contains: readonly Allergen[];
  readonly mayContain?: readonly Allergen[];
  readonly checkSupplier?: readonly Allergen[];
  readonly packs?: readonly Pack[];
  readonly notes?: string;
}

const FIELDS = [
  "fat",
  "saturates",
  "monounsaturates",
  "polyunsaturates",
  "carbohydrate",
  "sugars",
  "polyols",
  "starch",
  "fibre",
  "protein",
  "salt",
  "alcohol",
] as const;

const FROM_PACKET = "the packet's nutrition declaration";

/**
 * The baker's own ingredient from what its packet declares.
 *
 * @returns  always an ingredient: what the packet does not say is missing in it. Problems where the figures cannot be: outside 0 to
 *   100 g, parts beyond their whole, a sum beyond 101.5 g, kJ and kcal that disagree by more than 3 %, or an energy that differs from
 *   the factors of Annex XIV of Regulation (EU) 1169/2011 by more than 8 % and 60 kJ. A figure that cannot be is left missing.
 *
 * Salt becomes sodium (salt / 2.5). Carbohydrate becomes carbohydrate with fibre; where a packet declares no fibre its carbohydrate is
 * taken as it stands, and the figure says so. Single sugars, starch and ash are hardly ever declared and stay missing.
 */
export function ingredientFromPacket(packet: Packet): Reading<Ingredient> {
  const problems: Problem[] = [];
  const name = packet.name.trim();
  const id = packet.id ?? slugOf(name);
  if (id === "") {
    problems.push({
      code: "missing-field",
      path: ["name"],
      expected: "a name such as Strong white flour",
      found: `"${packet.name}"`,
      remedy: "Type the name of the ingredient.",
    });
  }
  const declared = readDeclared(packet, problems);
  problems.push(...checkDeclared(declared, ["per100g"]));
  const density = readDensity(packet.densityGPerMl, problems);
  const { value: further, problems: furtherProblems } = readFurtherStatement(packet.furtherPer100g ?? {}, declared.fat);
  problems.push(...furtherProblems);
  const ingredient: Ingredient = {
    id,
    name,
    ...(packet.usName ? { usName: packet.usName } : {}),
    otherNames: packet.otherNames ?? [],
    group: "own",
    role: packet.role,
    per100g: figuresOf(declared, packet),
    ...(Object.keys(further).length === 0 ? {} : { furtherPer100g: further }),
    densityGPerMl: density,
    householdWeights: [],
    contains: packet.contains,
    checkSupplier: packet.checkSupplier ?? [],
    mayContain: packet.mayContain ?? [],
    basis: "own",
    source: FROM_PACKET,
    ...(packet.notes ? { notes: packet.notes } : {}),
    ...(packet.packs ? { packs: packet.packs } : {}),
  };
  return { value: ingredient, problems };
}

/** The figures that can be used, carbohydrate without fibre. */
function readDeclared(
  packet: Packet,
  problems: Problem[],
): Declared & Pick<PacketDeclaration, "monounsaturates" | "polyunsaturates"> {
  const declared: Record<string, number> = {};
  const take = (field: string, value: number | undefined, most: number, unit: string) => {
    if (value === undefined) return;
    if (value >= 0 && value <= most) {
      declared[field] = value;
      return;
    }
    problems.push({
      code: "out-of-range",
      path: field === "water" ? ["waterGrams"] : ["per100g", field],
      expected: `a figure from 0 to ${most} ${unit} per 100 g`,
      found: String(value),
      remedy: "Read it again, and check that it is per 100 g and not per portion.",
    });
  };
  for (const field of FIELDS) take(field, packet.per100g[field], 100, "g");
  take("energyKj", packet.per100g.energyKj, 3800, "kJ");
  take("energyKcal", packet.per100g.energyKcal, 920, "kcal");
  if (typeof packet.waterGrams === "number") take("water", packet.waterGrams, 100, "g");
  if (packet.carbohydrateIncludesFibre && declared.carbohydrate !== undefined) {
    declared.carbohydrate = Math.max(0, round(declared.carbohydrate - (declared.fibre ?? 0)));
  }
  return declared;
}

function figuresOf(declared: ReturnType<typeof readDeclared>, packet: Packet): NutrientFigures {
  const figures = {} as Record<Nutrient, Figure>;
  for (const nutrient of NUTRIENTS) figures[nutrient] = { known: false, why: "the packet does not say" };
  const know = (nutrient: Nutrient, value: number | undefined, source = FROM_PACKET) => {
    if (value !== undefined) figures[nutrient] = { known: true, value: round(value), source };
  };
  for (const field of FIELDS) if (field !== "salt" && field !== "carbohydrate") know(field, declared[field]);
  know("sodium", declared.salt === undefined ? undefined : declared.salt / 2.5, `derived: salt / 2.5 (${FROM_PACKET})`);
  if (declared.carbohydrate !== undefined) {
    know(
      "carbohydrate",
      declared.carbohydrate + (declared.fibre ?? 0),
      declared.fibre === undefined
        ? `${FROM_PACKET}; without the fibre, which it does not declare`
        : `derived: carbohydrate + fibre (${FROM_PACKET})`,
    );
  }
  const { energyKj, energyKcal } = declared;
  know("energyKj", energyKj);
  know("energyKcal", energyKcal);
  if (energyKj === undefined && energyKcal !== undefined)
    know("energyKj", energyKcal * 4.184, `derived: kcal x 4.184 (${FROM_PACKET})`);
  if (energyKcal === undefined && energyKj !== undefined)
    know("energyKcal", energyKj / 4.184, `derived: kJ / 4.184 (${FROM_PACKET})`);
  const complete = declared.fat !== undefined && declared.carbohydrate !== undefined && declared.protein !== undefined;
  if (energyKj === undefined && energyKcal === undefined && complete) {
    const byFactors = energyByFactors(declared);
    const how = `derived: energy factors of Regulation (EU) 1169/2011, Annex XIV (${FROM_PACKET})`;
    know("energyKj", byFactors, how);
    know("energyKcal", byFactors / 4.184, how);
  }
  if (packet.waterGrams === "by-difference") {
    const { fat, carbohydrate, protein, fibre = 0, salt = 0, alcohol = 0 } = declared;
    if (fat === undefined || carbohydrate === undefined || protein === undefined) {
      figures.water = {
        known: false,
        why: "the packet does not declare fat, carbohydrate and protein, so nothing is left to subtract from 100",
      };
    } else {
      const rest = Math.max(0, 100 - fat - carbohydrate - protein - fibre - salt - alcohol);
      know(
        "water",
        rest,
        `derived: 100 less all that is declared, so it holds minerals other than salt and undeclared fibre (${FROM_PACKET})`,
      );
    }
  } else {
    know("water", declared.water, "stated by the baker");
  }
  return figures;
}

function readDensity(densityGPerMl: number | undefined, problems: Problem[]): Figure {
  if (densityGPerMl === undefined) return { known: false, why: "not stated; weigh a level cup or spoon of it" };
  if (densityGPerMl >= 0.03 && densityGPerMl <= 3) return { known: true, value: densityGPerMl, source: "stated by the baker" };
  problems.push({
    code: "out-of-range",
    path: ["densityGPerMl"],
    expected: "a density from 0.03 to 3 g/mL",
    found: String(densityGPerMl),
    remedy: "Weigh a measured volume and divide grams by millilitres.",
  });
  return { known: false, why: "the density stated cannot be" };
}

function round(value: number): number {
  return Math.round(value * 1e6) / 1e6;
}
