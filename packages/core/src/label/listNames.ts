/** An additive as a list names it: by class, and by name or number (Annex VII, Part C; Regulation (EC) 1333/2008, Annex II; from memory). */
export interface Additive {
  readonly class: string;
  readonly name: string;
  readonly number: string;
  /** The common name in the United States. */
  readonly us: string;
}

/** How a shipped ingredient stands in a list, where that is not its trade name. `[ ]` stand around an allergen. */
export interface ListName {
  readonly gb?: string;
  readonly us?: string;
  readonly additive?: Additive;
  /** Its composition differs from brand to brand: the list of its packet has to stand behind its name. */
  readonly packet?: "needed" | "defined";
  /** What to look at on the packet, besides. */
  readonly check?: string;
  /** The same for the United States, where it is another matter. */
  readonly usCheck?: string;
}

const additive = (className: string, name: string, number: string, us: string): ListName => ({
  additive: { class: className, name, number, us },
});
const packet = (gb: string, us = gb): ListName => ({ gb, us, packet: "needed" });
/** Jam, chocolate, and mixtures of spices, of which the law lets a list be left out where they are little: so that below 2 % of the product no list of its own is needed (Annex VII, Part E, point 2(a)). */
const defined = (gb: string, us = gb): ListName => ({ gb, us, packet: "defined" });

const SUGAR: ListName = { gb: "sugar", us: "sugar" };
const ICING: ListName = {
  gb: "sugar",
  us: "powdered sugar (sugar, cornstarch)",
  check: "some icing sugar holds an anti-caking agent; one without effect in the product is not listed (Article 20(b)).",
};
const FRESH_CHEESE = "a fresh cheese with salt, starter or stabiliser needs its own list (Article 19(1)(d)): read the tub.";
const VINE_FRUIT = "dried vine fruit is often coated with oil: read the packet.";
const EGG: ListName = { gb: "[egg]", us: "eggs" };
const WHITE: ListName = { gb: "[egg] white", us: "egg whites" };
const YOLK: ListName = { gb: "[egg] yolk", us: "egg yolks" };
const COCOA_LOW: ListName = {
  gb: "fat-reduced cocoa powder",
  us: "cocoa powder",
  check: "under a fifth cocoa butter it is called fat-reduced (Directive 2000/36/EC): read the tin.",
};
const BAKING_POWDER_CHECK = "the acid and the filler differ from brand to brand: copy the packet.";

/**
 * Names that a list uses and that differ from the trade name. Categories by Regulation (EU) 1169/2011, Annex VII, Part B; names
 * of additives from memory of Regulation (EC) 1333/2008; US names as commonly printed (from memory of 21 CFR 101.4 and the
 * standards of identity).
 */
export const LIST_NAMES: Readonly<Record<string, ListName>> = {
  "granulated-sugar": SUGAR,
  "caster-sugar": SUGAR,
  "icing-sugar-uk": ICING,
  "icing-sugar": {
    gb: "icing sugar (sugar, starch)",
    us: "powdered sugar (sugar, cornstarch)",
    check: "name the starch if it comes from a cereal with gluten.",
  },
  "light-brown-sugar": { gb: "brown sugar", us: "brown sugar" },
  "dark-brown-sugar": { gb: "brown sugar", us: "brown sugar" },
  "golden-syrup": { gb: "golden syrup", us: "golden syrup (invert sugar syrup)" },
  "black-treacle": { gb: "black treacle", us: "black treacle (molasses)" },
  "corn-syrup-light": { gb: "glucose syrup", us: "corn syrup" },
  "corn-syrup-dark": packet("dark glucose syrup", "dark corn syrup"),
  "high-fructose-corn-syrup": { gb: "glucose-fructose syrup", us: "high fructose corn syrup" },
  "malt-extract": { gb: "[barley] malt extract", us: "barley malt extract" },
  "dextrose-monohydrate": { gb: "dextrose", us: "dextrose" },
  "fondant-icing": packet("fondant icing", "fondant"),
  "royal-icing": packet("royal icing"),
  glycerol: additive("humectant", "glycerol", "E422", "glycerin"),
  sorbitol: additive("humectant", "sorbitols", "E420", "sorbitol"),
  semolina: { gb: "[wheat] semolina", us: "semolina (wheat)" },
  "wholemeal-flour": { gb: "wholemeal [wheat] flour", us: "whole wheat flour" },
  "strong-wholemeal-flour": { gb: "wholemeal [wheat] flour", us: "whole wheat flour" },
  "whole-wheat-flour-us": { gb: "wholemeal [wheat] flour", us: "whole wheat flour" },
  "whole-wheat-pastry-flour": { gb: "wholemeal [wheat] flour", us: "whole wheat flour" },
  "rye-flour-light": { gb: "[rye] flour", us: "rye flour" },
  "spelt-flour-wholemeal": { gb: "wholemeal spelt ([wheat]) flour", us: "whole spelt (wheat) flour" },
  "khorasan-flour": { gb: "khorasan [wheat] flour", us: "khorasan wheat flour" },
  "rolled-oats": { gb: "[oats]", us: "rolled oats" },
  "gram-flour": { gb: "gram (chickpea) flour", us: "chickpea flour" },
  "wheat-gluten": { gb: "[wheat] gluten", us: "vital wheat gluten" },
  "custard-powder": packet("custard powder"),
  "digestive-biscuits": packet("digestive biscuits ([wheat])", "graham crackers"),
  "sponge-fingers": packet("sponge fingers ([wheat], [egg])", "ladyfingers"),
  "egg-whole": EGG,
  "egg-whole-uk": EGG,
  "egg-white": WHITE,
  "egg-white-uk": WHITE,
  "egg-yolk": YOLK,
  "egg-yolk-uk": YOLK,
  "egg-whole-pasteurised": { gb: "pasteurised [egg]", us: "pasteurized eggs" },
  "egg-white-pasteurised": { gb: "pasteurised [egg] white", us: "pasteurized egg whites" },
  "egg-whole-dried": { gb: "dried [egg]", us: "dried whole eggs" },
  "egg-white-dried": { gb: "dried [egg] white", us: "dried egg whites" },
  "egg-yolk-dried": { gb: "dried [egg] yolk", us: "dried egg yolks" },
  "butter-unsalted": { gb: "butter ([milk])", us: "butter (cream)" },
  "butter-unsalted-us": { gb: "butter ([milk])", us: "butter (cream)" },
  "butter-salted": { gb: "salted butter ([milk], salt)", us: "butter (cream, salt)" },
  "butter-salted-us": { gb: "salted butter ([milk], salt)", us: "butter (cream, salt)" },
  "butter-spreadable": packet("spreadable butter ([milk])", "spreadable butter"),
  ghee: { gb: "ghee ([milk])", us: "ghee (milk)" },
  "milk-whole": { gb: "whole [milk]", us: "milk" },
  "milk-whole-us": { gb: "whole [milk]", us: "milk" },
  "milk-semi-skimmed": { gb: "semi-skimmed [milk]", us: "reduced fat milk" },
  "milk-skimmed": { gb: "skimmed [milk]", us: "nonfat milk" },
  buttermilk: { gb: "buttermilk ([milk])", us: "buttermilk" },
  "buttermilk-whole": { gb: "buttermilk ([milk])", us: "buttermilk" },
  "yoghurt-whole": { gb: "yoghurt ([milk])", us: "yogurt (cultured milk)" },
  "yoghurt-whole-uk": { gb: "yoghurt ([milk])", us: "yogurt (cultured milk)" },
  "yoghurt-low-fat": { gb: "low-fat yoghurt ([milk])", us: "low fat yogurt (cultured milk)" },
  "yoghurt-greek": { gb: "Greek-style yoghurt ([milk])", us: "Greek yogurt (cultured milk)" },
  "yoghurt-greek-us": { gb: "strained yoghurt ([milk])", us: "Greek yogurt (cultured milk)" },
  "soured-cream": { gb: "soured cream ([milk])", us: "sour cream (cultured cream)" },
  "double-cream": { gb: "double cream ([milk])", us: "heavy cream" },
  "double-cream-cofid": { gb: "double cream ([milk])", us: "heavy cream" },
  "heavy-cream": { gb: "whipping cream ([milk])", us: "heavy cream" },
  "light-cream-us": { gb: "cream ([milk])", us: "light cream" },
  "half-and-half": { gb: "half cream ([milk])", us: "half and half (milk, cream)" },
  "condensed-milk": { gb: "sweetened condensed [milk] ([milk], sugar)", us: "sweetened condensed milk (milk, sugar)" },
  "condensed-milk-uk": { gb: "sweetened condensed [milk] ([milk], sugar)", us: "sweetened condensed milk (milk, sugar)" },
  "milk-powder-skimmed": { gb: "skimmed [milk] powder", us: "nonfat dry milk" },
  "milk-powder-whole": { gb: "whole [milk] powder", us: "dry whole milk" },
  "whey-powder": { gb: "whey powder ([milk])", us: "whey" },
  "cream-cheese": {
    gb: "cream cheese ([milk])",
    us: "cream cheese",
    check: FRESH_CHEESE,
    usCheck: "salt, cultures and stabilizers are listed: read the tub.",
  },
  "soft-cheese-full-fat-uk": {
    gb: "full-fat soft cheese ([milk])",
    us: "cream cheese",
    check: FRESH_CHEESE,
    usCheck: "salt, cultures and stabilizers are listed: read the tub.",
  },
  mascarpone: {
    gb: "mascarpone ([milk])",
    us: "mascarpone (cream, milk)",
    check: FRESH_CHEESE,
    usCheck: "salt, cultures and stabilizers are listed: read the tub.",
  },
  ricotta: {
    gb: "ricotta ([milk])",
    us: "ricotta (milk)",
    check: FRESH_CHEESE,
    usCheck: "salt, cultures and stabilizers are listed: read the tub.",
  },
  quark: {
    gb: "quark ([milk])",
    us: "quark (milk)",
    check: FRESH_CHEESE,
    usCheck: "salt, cultures and stabilizers are listed: read the tub.",
  },
  "cottage-cheese": {
    gb: "cottage cheese ([milk])",
    us: "cottage cheese (milk)",
    check: FRESH_CHEESE,
    usCheck: "salt, cultures and stabilizers are listed: read the tub.",
  },
  "coconut-milk": packet("coconut milk"),
  "coconut-cream": packet("coconut cream"),
  "soya-drink": packet("[soya] drink", "soy milk"),
  "almond-drink": packet("[almond] drink", "almond milk"),
  "oat-drink": packet("[oat] drink", "oat milk"),
  aquafaba: { gb: "chickpea water", us: "chickpea water" },
  "sunflower-oil-high-oleic": { gb: "sunflower oil", us: "high oleic sunflower oil" },
  "vegetable-oil": {
    ...packet("vegetable oil"),
    check: "name the plant in brackets: rapeseed, sunflower (Annex VII, Part A, point 8).",
  },
  "groundnut-oil": { gb: "groundnut ([peanut]) oil", us: "peanut oil" },
  shortening: packet("vegetable fat", "vegetable shortening"),
  "compound-cooking-fat-uk": packet("cooking fat"),
  lard: { gb: "lard (pork)", us: "lard" },
  "suet-shredded": packet("shredded suet ([wheat])", "suet (wheat)"),
  "block-margarine": packet("margarine"),
  "margarine-stick-us": packet("margarine"),
  "soft-spread": packet("vegetable fat spread", "vegetable oil spread"),
  "soft-margarine-80": packet("margarine"),
  "soya-lecithin": additive("emulsifier", "lecithins ([soya])", "E322 ([soya])", "soy lecithin"),
  "cocoa-powder": COCOA_LOW,
  "cocoa-powder-alkalised": { ...COCOA_LOW, us: "cocoa powder (processed with alkali)" },
  "cocoa-powder-high-fat": { gb: "cocoa powder", us: "cocoa powder" },
  "cocoa-powder-high-fat-alkalised": { gb: "cocoa powder", us: "cocoa powder (processed with alkali)" },
  "unsweetened-chocolate": { gb: "cocoa mass", us: "unsweetened chocolate" },
  "dark-chocolate-45-59": defined("dark chocolate", "semisweet chocolate"),
  "dark-chocolate-60-69": defined("dark chocolate", "bittersweet chocolate"),
  "dark-chocolate-70-85": defined("dark chocolate", "bittersweet chocolate"),
  "semisweet-chocolate-chips": defined("dark chocolate", "semisweet chocolate"),
  "plain-chocolate-uk": defined("plain chocolate", "semisweet chocolate"),
  "milk-chocolate": defined("[milk] chocolate", "milk chocolate"),
  "milk-chocolate-uk": defined("[milk] chocolate", "milk chocolate"),
  "white-chocolate": defined("white chocolate ([milk])", "white chocolate"),
  "chocolate-hazelnut-spread": packet("chocolate [hazelnut] spread", "chocolate hazelnut spread"),
  cherries: { gb: "cherries", us: "cherries" },
  "sour-cherries": { gb: "sour cherries", us: "tart cherries" },
  "lemon-flesh": { gb: "lemon", us: "lemon" },
  orange: { gb: "orange", us: "orange" },
  apple: { gb: "apple", us: "apples" },
  "cooking-apple": { gb: "apple", us: "apples" },
  "apple-puree": { gb: "apple purée", us: "applesauce (apples)" },
  raisins: { check: VINE_FRUIT, usCheck: VINE_FRUIT },
  sultanas: { us: "golden raisins", check: VINE_FRUIT, usCheck: VINE_FRUIT },
  currants: { us: "currants", check: VINE_FRUIT, usCheck: VINE_FRUIT },
  dates: { gb: "dates", us: "dates" },
  "dates-medjool": { gb: "dates", us: "dates" },
  "apricots-dried": {
    gb: "dried apricots (apricots, preservative ([sulphur dioxide]))",
    us: "dried apricots (apricots, sulfur dioxide)",
    check: "unsulphured apricots have no preservative: read the packet.",
  },
  "glace-cherries": packet("glacé cherries", "candied cherries"),
  "mixed-peel": packet("mixed peel", "candied peel"),
  "candied-fruit": packet("candied fruit"),
  "raspberry-jam": defined("raspberry jam"),
  "strawberry-jam": defined("strawberry jam"),
  "blackcurrant-jam": defined("blackcurrant jam", "black currant jam"),
  "stone-fruit-jam": defined("plum jam"),
  "apricot-jam": defined("apricot jam", "apricot preserves"),
  "jam-us": defined("jam"),
  marmalade: defined("marmalade", "orange marmalade"),
  "lemon-curd": packet("lemon curd ([egg])", "lemon curd"),
  mincemeat: packet("mincemeat"),
  "ground-almonds": { gb: "ground [almonds]", us: "ground almonds" },
  almonds: { gb: "[almonds]", us: "almonds" },
  "almonds-blanched": { gb: "[almonds]", us: "almonds" },
  "hazelnuts-blanched": { gb: "[hazelnuts]", us: "hazelnuts" },
  "praline-paste": packet("praline paste ([hazelnuts])", "hazelnut praline paste"),
  macadamias: { gb: "[macadamia nuts]", us: "macadamia nuts" },
  "brazil-nuts": { gb: "[Brazil nuts]", us: "Brazil nuts" },
  chestnuts: { gb: "chestnuts", us: "chestnuts" },
  "coconut-sweetened": packet("sweetened coconut"),
  "peanut-butter": {
    gb: "[peanut] butter",
    us: "peanut butter",
    check: "with salt, sugar or oil added it needs its own list: read the jar.",
  },
  tahini: { gb: "tahini ([sesame])", us: "tahini (sesame)" },
  marzipan: packet("marzipan ([almonds])", "marzipan"),
  "marzipan-homemade": packet("marzipan ([almonds], [egg])", "marzipan"),
  "almond-paste": packet("[almond] paste", "almond paste"),
  "baking-powder": {
    gb: "baking powder (raising agents: disodium diphosphate, sodium carbonates; starch)",
    us: "baking powder (sodium acid pyrophosphate, baking soda, cornstarch)",
    check: BAKING_POWDER_CHECK,
    usCheck: BAKING_POWDER_CHECK,
  },
  "baking-powder-us-sas": {
    gb: "baking powder (raising agents: sodium aluminium phosphate, sodium carbonates; starch)",
    us: "baking powder (sodium aluminum sulfate, baking soda, cornstarch, monocalcium phosphate)",
    check: BAKING_POWDER_CHECK,
    usCheck: BAKING_POWDER_CHECK,
  },
  "baking-powder-us-phosphate": {
    gb: "baking powder (raising agents: calcium phosphates, sodium carbonates; starch)",
    us: "baking powder (monocalcium phosphate, baking soda, cornstarch)",
    check: BAKING_POWDER_CHECK,
    usCheck: BAKING_POWDER_CHECK,
  },
  "bicarbonate-of-soda": additive("raising agent", "sodium carbonates", "E500", "baking soda"),
  "cream-of-tartar": additive("raising agent", "potassium tartrates", "E336", "cream of tartar"),
  "xanthan-gum": additive("thickener", "xanthan gum", "E415", "xanthan gum"),
  "guar-gum": additive("thickener", "guar gum", "E412", "guar gum"),
  pectin: additive("gelling agent", "pectins", "E440", "pectin"),
  agar: additive("gelling agent", "agar", "E406", "agar"),
  "citric-acid": additive("acid", "citric acid", "E330", "citric acid"),
  "yeast-fresh": { gb: "yeast", us: "yeast" },
  "yeast-dried": { gb: "yeast", us: "yeast" },
  "vanilla-pod": { gb: "vanilla pods", us: "vanilla beans" },
  cinnamon: { gb: "ground cinnamon", us: "cinnamon" },
  "ginger-ground": { gb: "ground ginger", us: "ginger" },
  nutmeg: { gb: "nutmeg", us: "nutmeg" },
  cardamom: { gb: "cardamom", us: "cardamom" },
  allspice: { gb: "allspice", us: "allspice" },
  cloves: { gb: "cloves", us: "cloves" },
  mace: { gb: "mace", us: "mace" },
  // Above 2 % a mixture of spices needs its own list (Annex VII, Part B, 9 and Part E, 2(b)).
  "mixed-spice": { gb: "mixed spice", us: "spices", packet: "defined" },
  "ginger-root": { gb: "ginger", us: "ginger" },
  mint: { gb: "mint", us: "mint" },
  rosemary: { gb: "rosemary", us: "rosemary" },
  "coffee-espresso": { gb: "coffee", us: "coffee" },
  "coffee-brewed": { gb: "coffee", us: "coffee" },
  "tea-brewed": { gb: "tea", us: "tea" },
  "vinegar-white": { gb: "spirit vinegar", us: "distilled white vinegar" },
  "wine-red": { gb: "red wine ([sulphites])", us: "red wine (sulfites)" },
  "wine-white": { gb: "white wine ([sulphites])", us: "white wine (sulfites)" },
  "wine-dessert-sweet": { gb: "sweet wine ([sulphites])", us: "dessert wine (sulfites)" },
  "spirits-40": { gb: "spirit", us: "spirits", check: "name the spirit: brandy, rum, gin." },
  beer: { gb: "beer ([barley])", us: "beer (barley)" },
  beetroot: { gb: "beetroot", us: "beets" },
  "beetroot-cooked": { gb: "beetroot", us: "beets" },
  pumpkin: { gb: "pumpkin", us: "pumpkin" },
  "pumpkin-puree": { gb: "pumpkin purée", us: "pumpkin" },
};
