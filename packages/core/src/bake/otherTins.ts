import type { Problem } from "../quantities/index.js";
import type { Tin } from "../tins/index.js";
import { checkBakeRequest } from "./componentBake.js";
import { type BakeHooks, type BakePrediction, type BakeRequest, predictBake } from "./predictBake.js";

/** How the same batter bakes in another tin, or why it cannot. */
export type OtherTin =
  | {
      readonly name: string;
      readonly fits: true;
      readonly batterMm: number;
      readonly doneSeconds: BakePrediction["doneSeconds"];
      /** Middle above the wall when it leaves the oven [mm]; indicative. */
      readonly domeMm: number;
      readonly dryShare: number;
      /** What to look out for, in words; empty when nothing. */
      readonly risks: readonly string[];
    }
  | { readonly name: string; readonly fits: false; readonly problems: readonly Problem[] };

/** Borders beyond which a baker would notice; assumptions. */
const DOME_SHARE = 0.18;
const DRY_SHARE = 0.15;

/**
 * The table of other tins: the same weight of batter in each, at coarse accuracy.
 *
 * @param request  the bake as it is; its tin is replaced
 * @param tins  tins with the names the baker gave them
 */
export function bakeInOtherTins(
  request: BakeRequest,
  tins: readonly { readonly name: string; readonly tin: Tin; readonly massGrams?: number }[],
  hooks: BakeHooks = {},
): readonly OtherTin[] {
  const { after: _, sectionEveryS: __, bakeSeconds: ___, ...bare } = request;
  const rows: OtherTin[] = [];
  for (const [index, { name, tin, massGrams }] of tins.entries()) {
    if (hooks.stopped?.()) break;
    const own: BakeRequest = { ...bare, tin, massGrams: massGrams ?? request.massGrams, accuracy: "coarse" };
    const problems = checkBakeRequest(own);
    if (problems.length > 0) {
      rows.push({ name, fits: false, problems });
      continue;
    }
    const p = predictBake(own);
    const domeMm = p.height.centreMm - p.height.edgeMm;
    const risks: string[] = [];
    if (p.outcome === "never-done") risks.push("does not get done at this setting");
    if (domeMm > DOME_SHARE * p.height.centreMm) risks.push("domes (indicative)");
    if (p.dryShare > DRY_SHARE) risks.push(`${(100 * p.dryShare).toFixed(0)} % of it turns to crust or dry edge`);
    if (p.browning.words === "very dark") risks.push("very dark top");
    if (p.cautions.some((words) => words.includes("rim"))) risks.push("may rise over the rim (indicative)");
    rows.push({ name, fits: true, batterMm: p.height.batterMm, doneSeconds: p.doneSeconds, domeMm, dryShare: p.dryShare, risks });
    hooks.onProgress?.((index + 1) / tins.length);
  }
  return rows;
}
