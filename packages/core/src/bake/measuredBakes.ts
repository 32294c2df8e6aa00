import { makeTin, type Tin } from "../tins/index.js";
import { type BatterNumbers, EQUAL_WEIGHTS_BATTER } from "./batter.js";
import { type BakePrediction, type BakeRequest, predictBake } from "./predictBake.js";

/** A whisked sponge of equal weights of egg, sugar and flour; composition by food tables, computed. */
const WHISKED: BatterNumbers = {
  fractions: { water: 0.3, protein: 0.08, fat: 0.04, carbohydrate: 0.565, fibre: 0.008, ash: 0.007 },
  sugarFraction: 0.333,
  solutesMolPerKg: 1.05,
  carbonDioxideGPerKg: 0,
  whisked: true,
  assumed: [],
};

const round = (diameterMm: number): Tin =>
  makeTin({ kind: "round", topDiameterMm: diameterMm, baseDiameterMm: diameterMm, depthMm: 60 });
const cup = (top: number, base: number, depthMm: number): Tin =>
  makeTin({ kind: "cup", topDiameterMm: top, baseDiameterMm: base, depthMm });
const poundTin = makeTin({
  kind: "loaf",
  topLengthMm: 175,
  topWidthMm: 80,
  baseLengthMm: 165,
  baseWidthMm: 70,
  depthMm: 65,
});

interface MeasuredBake {
  readonly name: string;
  readonly source: string;
  readonly measured: string;
  /** What the study does not say and was assumed, not fitted. */
  readonly assumed: string;
  predict(): string;
}

const bake = (request: Omit<BakeRequest, "accuracy" | "batter" | "specificGravity"> & Partial<BakeRequest>): BakePrediction =>
  predictBake({ batter: EQUAL_WEIGHTS_BATTER, specificGravity: 0.85, accuracy: "coarse", ...request });
const minutes = (seconds: number) => (seconds / 60).toFixed(0);
const still = (setC: number) => ({ setC, fan: false });
const doneText = ({ doneSeconds: d }: BakePrediction) => `${minutes(d.likely)} min (${minutes(d.from)} to ${minutes(d.to)})`;

function firstTime(p: BakePrediction, curve: "centreC" | "browning", level: number): number {
  const i = p.curves[curve].findIndex((v) => v >= level);
  return i < 0 ? Number.NaN : p.curves.timesS[i];
}

const ANY_POUND = "tin 175/165 x 80/70 mm, equal weights, SG 0.85, usual still oven";

/** Published bakes beside what the model says, unfitted. The table in docs/models/bake.md is made from these. */
export const MEASURED_BAKES: readonly MeasuredBake[] = [
  {
    name: "X1 core speed, 12 cm round, 160 °C: sponge 120 g, sponge 190 g, pound 190 g",
    source: "Watanabe, Kiyoyoshi and Yamada 1992 (abstract)",
    measured: "fastest to slowest in this order",
    assumed: "compositions, SG 0.48 and 0.85",
    predict: () => {
      const to90 = (batter: BatterNumbers, specificGravity: number, massGrams: number) =>
        minutes(firstTime(bake({ batter, specificGravity, massGrams, tin: round(120), oven: still(160) }), "centreC", 90));
      return `middle at 90 °C after ${to90(WHISKED, 0.48, 120)}, ${to90(WHISKED, 0.48, 190)}, ${to90(EQUAL_WEIGHTS_BATTER, 0.85, 190)} min`;
    },
  },
  ...(
    [
      [150, "50 to 55"],
      [160, "45 to 50"],
      [170, "40 to 45"],
      [180, "35 to 40"],
      [190, "30 to 35"],
    ] as const
  ).map(
    ([setC, colour]): MeasuredBake => ({
      name: `X2 pound cake 300 g, small gas oven, ${setC} °C`,
      source: "J. Home Econ. Jpn 25(1), 38 (abstract)",
      measured: `good colour at ${colour} min`,
      assumed: ANY_POUND,
      predict: () => {
        const p = bake({ massGrams: 300, tin: poundTin, oven: still(setC), bakeSeconds: 4800 });
        return `done ${doneText(p)}; golden brown (ΔE 16) at ${minutes(firstTime(p, "browning", 16))} min`;
      },
    }),
  ),
  {
    name: "X3 muffin, 190.6 °C, 21 min",
    source: "Channaiah et al. 2017 (abstract)",
    measured: "at least 5 log by 17 min, 6.1 log by 21 min",
    assumed: "70 g in a 7/5 cm cup of 4 cm, SG 0.90",
    predict: () => {
      const at = (bakeSeconds: number) =>
        bake({ massGrams: 70, specificGravity: 0.9, tin: cup(70, 50, 40), oven: still(190.6), bakeSeconds }).lethalityLog10;
      const text = (logs: number) => (logs >= 12 ? "12 or more" : logs.toFixed(1));
      return `${text(at(600))} log by 10 min, ${text(at(1020))} by 17 min`;
    },
  },
  {
    name: "X4 small pound cake, 45 g, 180 °C, 35 min",
    source: "review, J. Food Process. Technol. 4:278, table 4",
    measured: "lost 9.8 ± 2.0 %; 88 cm³ from 53 mL of batter (1.67 times)",
    assumed: "cup 65/50 mm, SG 0.85",
    predict: () => {
      const p = bake({ massGrams: 45, tin: cup(65, 50, 40), oven: still(180), bakeSeconds: 2100 });
      const { likely, from, to } = p.weightLossPercent;
      const growth = (p.height.centreMm + p.height.edgeMm) / 2 / p.height.batterMm;
      return `lost ${likely.toFixed(1)} % (${from.toFixed(1)} to ${to.toFixed(1)}); about ${growth.toFixed(2)} times as tall`;
    },
  },
  {
    name: "X5 English muffin, 204.4 °C, 18 min",
    source: "bibliographic abstract",
    measured: "hottest inside 99 °C; more than 5 log",
    assumed: "60 g disc of 9 cm, SG 0.7; a dough of 43 % water and 3 % sugar",
    predict: () => {
      const dough: BatterNumbers = {
        fractions: { water: 0.43, protein: 0.07, fat: 0.02, carbohydrate: 0.45, fibre: 0.015, ash: 0.015 },
        sugarFraction: 0.03,
        solutesMolPerKg: 0.5,
        carbonDioxideGPerKg: 1,
        assumed: [],
      };
      const p = bake({
        batter: dough,
        massGrams: 60,
        specificGravity: 0.7,
        tin: round(90),
        oven: still(204.4),
        bakeSeconds: 1080,
      });
      return `middle ${Math.max(...p.curves.centreC).toFixed(0)} °C; ${p.lethalityLog10 >= 12 ? "12 or more" : p.lethalityLog10.toFixed(1)} log`;
    },
  },
];

/** The table of the model page. */
export function measuredBakesTable(): string {
  const rows = MEASURED_BAKES.map((b) => `| ${b.name} | ${b.measured} | ${b.predict()} | ${b.assumed} | ${b.source} |`);
  return ["| bake | measured | predicted | assumed | source |", "| --- | --- | --- | --- | --- |", ...rows].join("\n");
}
