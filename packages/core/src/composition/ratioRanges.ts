import type { CakeFamily, RatioName } from "./ratios.js";

export interface RatioRange {
  /** Percent; left out where the rule has no lower end. */
  readonly from?: number;
  /** Percent; left out where the rule has no upper end. */
  readonly to?: number;
  /** published: a rule of a printed guide. common practice: what bakers do, without a source. */
  readonly evidence: "published" | "common practice, no source";
  readonly source: string;
  /** What bakers say happens outside it (common practice, no source). */
  readonly whenBelow?: string;
  readonly whenAbove?: string;
}

// Read in one stored copy of a teaching hand-out, "Cake Balancing Guidelines"; from memory the same rules stand in trade text
// books on professional baking. It gives equalities and bounds; where it says "equal", the ten percent either way are ours.
const GUIDE = "Cake Balancing Guidelines (teaching hand-out, read in one copy)";
const GUIDE_EQUAL = `${GUIDE}; it says equal, the ten percent either way are our assumption`;
const published = (source: string, range: Omit<RatioRange, "evidence" | "source">): RatioRange => ({
  ...range,
  evidence: "published",
  source,
});
const practice = (range: Omit<RatioRange, "evidence" | "source">): RatioRange => ({
  ...range,
  evidence: "common practice, no source",
  source: "common practice, no source",
});

const SUGAR = {
  whenBelow: "drier and paler, with a tighter crumb",
  whenAbove: "sweeter and more tender, setting later, and it may sink",
};
const FAT = { whenBelow: "drier, staling sooner", whenAbove: "richer and heavier, and it may turn greasy" };
const EGG = { whenBelow: "little to carry the fat, and the crumb may fall apart", whenAbove: "firmer, and it may turn rubbery" };
const LIQUID = { whenBelow: "stiff batter, dry crumb, peaked top", whenAbove: "slow to set, and it may be gummy or sink" };
const POWDER = {
  whenBelow: "close, unless beating brings the air",
  whenAbove: "coarse, and it may rise and fall; too much can be tasted",
};

type Ranges = { readonly plain: RatioRange; readonly withCocoa?: RatioRange };

/** Ranges by family, in percent. No entry means that we know of none, and the reading says so. */
export const RATIO_RANGES: Readonly<Record<CakeFamily, Readonly<Partial<Record<RatioName, Ranges>>>>> = {
  creamed: {
    "sugar-to-flour": {
      plain: published(GUIDE, { to: 100, ...SUGAR }),
      // With cocoa or chocolate the guide allows "over 100 %" and names no end.
      withCocoa: published(`${GUIDE}: over 100 % where there is cocoa or chocolate`, { from: 80, ...SUGAR }),
    },
    "fat-to-flour": { plain: practice({ from: 40, to: 100, ...FAT }) },
    "egg-to-fat": { plain: published(GUIDE_EQUAL, { from: 90, to: 110, ...EGG }) },
    // A sponge loosened with a spoon of milk stands above this: that is said of it, and the range is not widened to take it in.
    "egg-and-liquid-to-flour": {
      plain: published(`${GUIDE}; it says equal, 90 to 110 % is our assumption`, { from: 90, to: 110, ...LIQUID }),
    },
    "egg-and-liquid-to-sugar": { plain: practice({ from: 100, to: 140, ...LIQUID }) },
    "baking-powder-to-flour": { plain: practice({ from: 0, to: 5, ...POWDER }) },
  },
  "high-ratio": {
    "sugar-to-flour": {
      plain: published(GUIDE, { from: 110, to: 160, ...SUGAR }),
      withCocoa: published(`${GUIDE}: up to 180 % where there is cocoa or chocolate`, { from: 110, to: 180, ...SUGAR }),
    },
    "fat-to-flour": { plain: practice({ from: 30, to: 75, ...FAT }) },
    "egg-to-fat": { plain: published(`${GUIDE}: egg more than the fat`, { from: 100, ...EGG }) },
    "egg-and-liquid-to-sugar": {
      plain: published(`${GUIDE}: egg and milk equal to the sugar or more`, { from: 100, ...LIQUID }),
    },
    "baking-powder-to-flour": { plain: practice({ from: 2, to: 6, ...POWDER }) },
  },
  whisked: {
    "sugar-to-flour": { plain: practice({ from: 80, to: 125, ...SUGAR }) },
    "fat-to-flour": { plain: practice({ to: 35, whenAbove: "the foam loses air" }) },
    "egg-and-liquid-to-flour": { plain: practice({ from: 130, to: 250, ...LIQUID }) },
    "baking-powder-to-flour": { plain: practice({ to: 2, whenAbove: POWDER.whenAbove }) },
  },
  oil: {
    "sugar-to-flour": { plain: practice({ from: 70, to: 140, ...SUGAR }) },
    "fat-to-flour": { plain: practice({ from: 40, to: 80, ...FAT }) },
    "baking-powder-to-flour": { plain: practice({ from: 2, to: 8, ...POWDER }) },
  },
  melted: {
    "sugar-to-flour": { plain: practice({ from: 60, to: 140, ...SUGAR }) },
    "fat-to-flour": { plain: practice({ from: 25, to: 60, ...FAT }) },
    "baking-powder-to-flour": { plain: practice({ from: 2, to: 10, ...POWDER }) },
  },
  "little-flour": {},
};
