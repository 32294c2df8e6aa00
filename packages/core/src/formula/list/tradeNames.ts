/**
 * What bakers call things, where the name alone is not the whole truth: it means different things in Britain and America,
 * or leaves open what a cake depends on. Names that mean one thing only come from the book itself and are not repeated here.
 * All of it is common practice, no source, unless a row says otherwise.
 */
export interface TradeName {
  /** Parted by semicolons; number, accents, hyphens and case do not matter. */
  readonly names: string;
  /** Ids in order of likelihood for a British reader. */
  readonly uk: string;
  /** And for an American one; the same where left out. */
  readonly us?: string;
  /**
   * taken: the trade has a habit, the first is taken and the others are offered; ask: the baker has to say.
   * "ask uk" and "ask us" ask only there.
   */
  readonly how: "taken" | "ask" | "ask uk" | "ask us";
  readonly why: string;
}

const SALT = "The name does not say whether it is salted: unsalted is taken, as is the habit in baking.";
const NEAREST = "The book has no such ingredient; the nearest is offered.";

export const TRADE_NAMES: readonly TradeName[] = [
  {
    names: "all purpose flour;unbleached all purpose flour;ap flour;apf",
    uk: "all-purpose-flour-us plain-flour",
    us: "all-purpose-flour-us",
    how: "taken",
    why: "",
  },
  {
    names: "self rising flour",
    uk: "self-rising-flour-us self-raising-flour",
    us: "self-rising-flour-us",
    how: "taken",
    why: "",
  },
  { names: "whole wheat flour", uk: "whole-wheat-flour-us wholemeal-flour", us: "whole-wheat-flour-us", how: "taken", why: "" },
  {
    names: "powdered sugar;confectioners sugar;confectioner sugar;10x sugar",
    uk: "icing-sugar icing-sugar-uk",
    us: "icing-sugar",
    how: "taken",
    why: "",
  },
  {
    names: "unsalted butter;sweet butter;sweet cream butter",
    uk: "butter-unsalted",
    us: "butter-unsalted-us",
    how: "taken",
    why: "",
  },
  { names: "salted butter", uk: "butter-salted", us: "butter-salted-us", how: "taken", why: "" },
  { names: "whole milk;full fat milk", uk: "milk-whole", us: "milk-whole-us", how: "taken", why: "" },
  { names: "milk chocolate", uk: "milk-chocolate-uk", us: "milk-chocolate", how: "taken", why: "" },
  {
    names: "flour;white flour;wheat flour",
    uk: "plain-flour self-raising-flour",
    us: "all-purpose-flour-us self-rising-flour-us",
    how: "ask uk",
    why: "Flour alone may be plain or self-raising.",
  },
  { names: "bread flour", uk: "strong-white-flour", us: "bread-flour-us", how: "taken", why: "Read as strong white flour." },
  {
    names: "spelt flour;white spelt flour;spelt",
    uk: "spelt-flour-wholemeal",
    how: "ask",
    why: "The book has wholemeal spelt only.",
  },
  {
    names: "corn flour",
    uk: "cornflour maize-flour",
    us: "maize-flour cornflour",
    how: "ask",
    why: "In Britain cornflour is the starch; in America corn flour is ground maize.",
  },
  {
    names: "potato flour",
    uk: "potato-starch potato-flour",
    us: "potato-flour potato-starch",
    how: "ask",
    why: "Potato flour may be the starch or ground dried potato.",
  },
  {
    names: "t45;t45 flour;t55;t55 flour;t65;t65 flour;type 45 flour;type 55 flour;type 65 flour",
    uk: "plain-flour strong-white-flour",
    how: "taken",
    why: "French wheat flours of low ash are read as plain flour.",
  },
  {
    names: "gluten free flour;gluten free plain flour;gluten free self raising flour;00 flour;tipo 00 flour;graham flour",
    uk: "plain-flour rice-flour",
    how: "ask",
    why: NEAREST,
  },
  { names: "breadcrumbs;cake crumbs;biscuits;biscuit crumbs", uk: "digestive-biscuits", how: "ask", why: NEAREST },
  {
    names: "graham crackers;graham cracker crumbs",
    uk: "digestive-biscuits",
    how: "ask",
    why: "Graham crackers are not in the book; digestive biscuits are the nearest.",
  },
  { names: "butter", uk: "butter-unsalted butter-salted", us: "butter-unsalted-us butter-salted-us", how: "taken", why: SALT },
  {
    names: "lightly salted butter;slightly salted butter",
    uk: "butter-salted butter-unsalted",
    us: "butter-salted-us butter-unsalted-us",
    how: "taken",
    why: "Slightly salted butter is read as salted; its salt may be lower than the book's.",
  },
  {
    names: "margarine;marg;marge;margerine",
    uk: "soft-spread block-margarine",
    us: "margarine-stick-us soft-margarine-80",
    how: "taken",
    why: "Margarine alone is read as a soft one for baking; the hard block has 3 points more fat.",
  },
  {
    names: "dairy free spread;vegan butter;vegan block;plant butter;vegan margarine;dairy free butter;vegan spread",
    uk: "block-margarine soft-spread",
    how: "ask",
    why: NEAREST,
  },
  {
    names: "oil",
    uk: "vegetable-oil sunflower-oil olive-oil",
    us: "soya-oil rapeseed-oil olive-oil",
    how: "taken",
    why: "The name does not say which oil: one of the mild ones is taken; all are fat and little else.",
  },
  {
    names: "vegetable oil;neutral oil;flavourless oil;cooking oil;light oil",
    uk: "vegetable-oil sunflower-oil",
    us: "soya-oil rapeseed-oil",
    how: "taken",
    why: "Vegetable oil is usually rapeseed in Britain and soya in America.",
  },
  {
    names: "corn oil;hazelnut oil;walnut oil;grapeseed oil;avocado oil;rice bran oil",
    uk: "sunflower-oil vegetable-oil",
    how: "ask",
    why: NEAREST,
  },
  {
    names: "sugar",
    uk: "caster-sugar granulated-sugar",
    us: "granulated-sugar",
    how: "taken",
    why: "Sugar alone is read as caster sugar in a British list and as granulated in an American one; both are the same sugar.",
  },
  {
    names: "white sugar;table sugar",
    uk: "granulated-sugar caster-sugar",
    us: "granulated-sugar",
    how: "taken",
    why: "White sugar is read as granulated.",
  },
  {
    names: "brown sugar;soft brown sugar",
    uk: "light-brown-sugar dark-brown-sugar",
    how: "taken",
    why: "Brown sugar alone is read as light; dark has the same weight.",
  },
  {
    names: "muscovado;muscovado sugar",
    uk: "dark-brown-sugar light-brown-sugar",
    how: "ask",
    why: "Muscovado may be light or dark; the book has the soft brown sugars nearest to them.",
  },
  {
    names: "light muscovado;light muscovado sugar",
    uk: "light-brown-sugar",
    how: "taken",
    why: "The book has soft light brown sugar for light muscovado.",
  },
  {
    names: "dark muscovado;dark muscovado sugar;molasses sugar",
    uk: "dark-brown-sugar",
    how: "taken",
    why: "The book has soft dark brown sugar for dark muscovado.",
  },
  {
    names: "coconut sugar;palm sugar;jaggery;rapadura;coconut palm sugar",
    uk: "light-brown-sugar dark-brown-sugar",
    how: "ask",
    why: NEAREST,
  },
  { names: "vanilla sugar", uk: "caster-sugar", how: "ask", why: "The book has no vanilla sugar; caster sugar is the nearest." },
  {
    names: "jam sugar;preserving sugar;sanding sugar;pearl sugar;nibbed sugar;sparkling sugar;coarse sugar",
    uk: "granulated-sugar",
    how: "ask",
    why: NEAREST,
  },
  {
    names: "raw sugar",
    uk: "demerara-sugar turbinado-sugar",
    us: "turbinado-sugar demerara-sugar",
    how: "ask",
    why: "Raw sugar may be demerara, turbinado or raw caster.",
  },
  {
    names: "icing sugar mixture",
    uk: "icing-sugar icing-sugar-uk",
    how: "taken",
    why: "Icing sugar mixture holds starch, as American icing sugar does.",
  },
  {
    names: "icing sugar",
    uk: "icing-sugar-uk icing-sugar",
    us: "icing-sugar",
    how: "taken",
    why: "American icing sugar holds starch, British hardly any.",
  },
  {
    names: "syrup",
    uk: "golden-syrup maple-syrup",
    us: "corn-syrup-light maple-syrup",
    how: "ask",
    why: "The name does not say which syrup.",
  },
  {
    names: "corn syrup",
    uk: "corn-syrup-light corn-syrup-dark glucose-syrup",
    how: "taken",
    why: "Corn syrup alone is read as light.",
  },
  { names: "glucose", uk: "glucose-syrup dextrose-monohydrate", how: "ask", why: "Glucose may be the syrup or the powder." },
  {
    names: "date syrup;rice syrup;brown rice syrup;ginger syrup;stem ginger syrup;syrup from the ginger jar;elderflower cordial",
    uk: "golden-syrup invert-sugar-syrup",
    how: "ask",
    why: NEAREST,
  },
  { names: "egg;eggs;egg wash;whole egg;free range egg;beaten egg", uk: "egg-whole-uk", us: "egg-whole", how: "taken", why: "" },
  { names: "egg white;white", uk: "egg-white-uk", us: "egg-white", how: "taken", why: "" },
  { names: "egg yolk;yolk", uk: "egg-yolk-uk", us: "egg-yolk", how: "taken", why: "" },
  {
    names: "milk",
    uk: "milk-whole milk-semi-skimmed milk-skimmed",
    us: "milk-whole-us milk-semi-skimmed milk-skimmed",
    how: "taken",
    why: "Milk alone is read as whole milk.",
  },
  {
    names: "oat milk",
    uk: "oat-drink",
    how: "taken",
    why: "",
  },
  {
    names: "plant milk;dairy free milk;non dairy milk;vegan milk;rice milk",
    uk: "soya-drink almond-drink",
    how: "ask",
    why: NEAREST,
  },
  {
    names: "cream",
    uk: "double-cream whipping-cream single-cream",
    us: "heavy-cream light-cream-us",
    how: "ask",
    why: "The name does not say which cream.",
  },
  {
    names: "whipping cream",
    uk: "whipping-cream",
    us: "heavy-cream whipping-cream",
    how: "ask us",
    why: "American whipping cream has 30 to 36 % fat.",
  },
  {
    names: "thickened cream;fresh cream;thick cream",
    uk: "whipping-cream double-cream heavy-cream",
    how: "ask",
    why: "The name does not say how much fat it has.",
  },
  {
    names: "pouring cream",
    uk: "single-cream whipping-cream",
    how: "ask",
    why: "Pouring cream is single cream in Britain and richer in Australia.",
  },
  {
    names: "cream cheese;full fat cream cheese",
    uk: "soft-cheese-full-fat-uk cream-cheese",
    us: "cream-cheese",
    how: "taken",
    why: "British full-fat soft cheese has about 24 % fat, block cream cheese 34 %.",
  },
  { names: "soft cheese", uk: "soft-cheese-full-fat-uk cream-cheese", how: "taken", why: "Read as full-fat soft cheese." },
  {
    names: "low fat cream cheese;light cream cheese;low fat soft cheese;light soft cheese;reduced fat cream cheese",
    uk: "soft-cheese-full-fat-uk",
    how: "ask",
    why: NEAREST,
  },
  {
    names: "yoghurt",
    uk: "yoghurt-whole-uk yoghurt-greek yoghurt-low-fat",
    us: "yoghurt-whole yoghurt-greek-us yoghurt-low-fat",
    how: "taken",
    why: "Yoghurt alone is read as plain whole-milk yoghurt.",
  },
  {
    names: "greek yoghurt;plain greek yoghurt;natural greek yoghurt;full fat greek yoghurt;whole milk greek yoghurt",
    uk: "yoghurt-greek yoghurt-greek-us",
    us: "yoghurt-greek-us yoghurt-greek",
    how: "taken",
    why: "Greek yoghurt is read as the kind that is usual in the list's country.",
  },
  {
    names: "milk powder;dried milk;powdered milk;dry milk",
    uk: "milk-powder-skimmed milk-powder-whole",
    how: "ask",
    why: "Milk powder may be skimmed or whole.",
  },
  {
    names: "condensed milk;sweetened condensed milk",
    uk: "condensed-milk-uk condensed-milk",
    us: "condensed-milk",
    how: "taken",
    why: "",
  },
  { names: "fromage frais;creme fraiche light;half fat creme fraiche", uk: "quark creme-fraiche", how: "ask", why: NEAREST },
  {
    names: "caramel;dulce de leche;salted caramel;caramel sauce",
    uk: "condensed-milk-uk",
    how: "ask",
    why: NEAREST,
  },
  {
    names: "chocolate;cooking chocolate;good chocolate;couverture;chocolate couverture",
    uk: "dark-chocolate-60-69 plain-chocolate-uk milk-chocolate-uk",
    us: "dark-chocolate-45-59 milk-chocolate",
    how: "ask",
    why: "The name does not say which chocolate.",
  },
  {
    names: "dark chocolate;dark couverture;plain dark chocolate;bitter chocolate;dark chocolate drop;dark cooking chocolate",
    uk: "dark-chocolate-60-69 dark-chocolate-45-59 dark-chocolate-70-85",
    how: "ask",
    why: "The share of cocoa is not said.",
  },
  {
    names: "chocolate chip;chocolate drop",
    uk: "semisweet-chocolate-chips milk-chocolate-uk",
    us: "semisweet-chocolate-chips milk-chocolate",
    how: "ask uk",
    why: "Chocolate chips may be dark or milk.",
  },
  {
    names: "chocolate chunk",
    uk: "dark-chocolate-45-59 milk-chocolate-uk semisweet-chocolate-chips",
    how: "ask",
    why: "The name does not say which chocolate.",
  },
  {
    names: "cocoa;cocoa powder;dark cocoa powder;cacao powder;cacao",
    uk: "cocoa-powder cocoa-powder-alkalised",
    how: "taken",
    why: "Cocoa alone is read as natural cocoa; alkalised (Dutch-process) cocoa has the same weight.",
  },
  {
    names:
      "unsweetened dutch cocoa;unsweetened dutch process cocoa;unsweetened dutch processed cocoa;unsweetened dutch process cocoa powder;unsweetened dutch cocoa powder;dutch process cocoa powder",
    uk: "cocoa-powder-alkalised cocoa-powder",
    how: "taken",
    why: "",
  },
  {
    names: "drinking chocolate;hot chocolate powder;hot chocolate;chocolate powder",
    uk: "cocoa-powder",
    how: "ask",
    why: "Drinking chocolate is mostly sugar and is not in the book.",
  },
  {
    names: "vanilla;vanilla essence;vanilla bean extract;vanilla flavouring;vanilla extract or essence",
    uk: "vanilla-extract vanilla-pod",
    how: "taken",
    why: "Vanilla by the spoon is read as extract.",
  },
  {
    names: "vanilla paste;vanilla bean paste;vanilla pod paste",
    uk: "vanilla-extract",
    how: "ask",
    why: "The book has no vanilla paste; extract is the nearest, and a spoon of it weighs less.",
  },
  { names: "vanilla powder", uk: "vanilla-extract", how: "ask", why: NEAREST },
  {
    names:
      "maple extract;rose extract;lemon extract;orange extract;rum extract;coffee extract;lemon essence;coffee essence;orange essence;rum essence",
    uk: "vanilla-extract",
    how: "ask",
    why: NEAREST,
  },
  {
    names: "peel;mixed candied peel;candied mixed peel;candied peel;cut mixed peel;cut peel;chopped peel",
    uk: "mixed-peel",
    how: "taken",
    why: "",
  },
  {
    names: "no soak apricot;ready to eat apricot;soft apricot;semi dried apricot;soft dried apricot;no soak dried apricot",
    uk: "apricots-dried",
    how: "taken",
    why: "",
  },
  { names: "ready to eat fig;soft fig;semi dried fig", uk: "figs-dried", how: "taken", why: "" },
  {
    names: "creamed coconut;coconut block;block of creamed coconut",
    uk: "coconut-cream desiccated-coconut",
    how: "ask",
    why: NEAREST,
  },
  { names: "bp;b p", uk: "baking-powder", us: "baking-powder-us-sas", how: "taken", why: "" },
  { names: "calvados;armagnac;grappa;schnapps;tequila", uk: "spirits-40", how: "taken", why: "Read as a spirit of 40 %." },
  { names: "ginger paste;ginger puree;minced ginger", uk: "ginger-root", how: "ask", why: NEAREST },
  {
    names:
      "ready to roll white icing;ready to roll icing;ready made fondant icing;ready made fondant;ready to roll fondant icing;ready to roll fondant;ready to roll icing;roll out icing;sugar paste;sugarpaste;rolled fondant",
    uk: "fondant-icing",
    how: "taken",
    why: "",
  },
  { names: "ice water;iced water;ice cold water", uk: "water", how: "taken", why: "" },
  {
    names: "beurre noisette;brown butter;browned butter;brown butter cooled",
    uk: "butter-unsalted butter-salted",
    how: "ask",
    why: "Butter loses a fifth of its weight when it is browned: is it weighed before or after?",
  },
  { names: "self raising", uk: "self-raising-flour", how: "taken", why: "" },
  {
    names: "granulated;golden granulated;golden granulated sugar;unrefined golden granulated sugar;unrefined golden granulated",
    uk: "granulated-sugar",
    how: "taken",
    why: "",
  },
  { names: "almond essence;almond flavouring;almond flavoring", uk: "almond-extract", how: "taken", why: "" },
  { names: "peppermint essence;peppermint flavouring;mint extract", uk: "peppermint-extract", how: "taken", why: "" },
  { names: "rosewater", uk: "rose-water", how: "taken", why: "" },
  { names: "orange blossom water", uk: "orange-flower-water", how: "taken", why: "" },
  { names: "food colouring;food colour;colouring;gel food colouring", uk: "water", how: "ask", why: NEAREST },
  {
    names: "nut;mixed nut;chopped nut;chopped mixed nut",
    uk: "walnuts hazelnuts pecans almonds",
    how: "ask",
    why: "The name does not say which nuts.",
  },
  {
    names: "mixed seed;seed;four seed mix;seed mix",
    uk: "sunflower-seeds pumpkin-seeds sesame-seeds linseed",
    how: "ask",
    why: "The name does not say which seeds.",
  },
  { names: "almond", uk: "almonds almonds-blanched", how: "taken", why: "Almonds alone are read as whole, skin on." },
  {
    names: "coconut;shredded coconut;coconut shred",
    uk: "desiccated-coconut coconut-sweetened",
    us: "coconut-sweetened desiccated-coconut",
    how: "ask",
    why: "Coconut may be desiccated or sweetened and shredded.",
  },
  { names: "fresh cherry;pitted cherry;stoned cherry;sweet cherry", uk: "cherries", how: "taken", why: "" },
  { names: "cherry", uk: "cherries glace-cherries sour-cherries", how: "ask", why: "Cherries may be fresh or glacé." },
  {
    names:
      "dried cherry;dried sour cherry;dried blueberry;dried fruit;mixed dried fruit;dried mixed fruit;mixed fruit;vine fruit;luxury mixed fruit;cake fruit;fruit;luxury mixed dried fruit",
    uk: "sultanas raisins currants",
    how: "ask",
    why: "Mixed fruit is not in the book; say which fruit, or add the mix as your own.",
  },
  {
    names: "stem ginger;crystallised ginger;candied ginger;preserved ginger;glace ginger;crystallized ginger",
    uk: "candied-fruit ginger-root",
    how: "ask",
    why: NEAREST,
  },
  {
    names: "berry;mixed berry;summer fruit;forest fruit;frozen berry;summer berry",
    uk: "raspberries blueberries strawberries blackberries",
    how: "ask",
    why: "The name does not say which berries.",
  },
  {
    names: "jam;seedless jam",
    uk: "raspberry-jam apricot-jam stone-fruit-jam",
    us: "jam-us",
    how: "ask uk",
    why: "The name does not say which jam.",
  },
  {
    names: "strawberry jam;blackberry jam;black cherry jam;blackcurrant jam;jam of choice;red jam;damson jam",
    uk: "raspberry-jam stone-fruit-jam",
    us: "jam-us raspberry-jam",
    how: "ask",
    why: NEAREST,
  },
  {
    names: "lime zest;grapefruit zest;lime peel;lime rind;clementine zest;citrus zest",
    uk: "lemon-zest orange-zest",
    how: "ask",
    why: NEAREST,
  },
  {
    names: "grapefruit juice;pineapple juice;apple juice;clementine juice;passion fruit juice;blood orange juice;fruit juice",
    uk: "orange-juice",
    how: "ask",
    why: NEAREST,
  },
  { names: "blueberry jam;peach jam;cherry jam;plum jam", uk: "stone-fruit-jam raspberry-jam", how: "ask", why: NEAREST },
  { names: "orange curd;lime curd;passion fruit curd", uk: "lemon-curd", how: "ask", why: NEAREST },
  {
    names: "baking powder",
    uk: "baking-powder",
    us: "baking-powder-us-sas baking-powder-us-phosphate",
    how: "taken",
    why: "Read as the kind that is usual in the list's country.",
  },
  {
    names: "bicarbonate;bicarbonate soda;soda bicarbonate;bicarb soda;bread soda;bi carb;bicarb of soda;baking soda;bicarb",
    uk: "bicarbonate-of-soda",
    how: "taken",
    why: "",
  },
  { names: "soda", uk: "bicarbonate-of-soda", how: "ask", why: "Soda may be bicarbonate of soda or a drink." },
  {
    names:
      "fast action dried yeast;fast acting dried yeast;fast acting yeast;fast action dry yeast;easy blend yeast;easy blend dried yeast;quick yeast;quick acting yeast;quick rise yeast;rapid rise yeast;instant dried yeast;instant dry yeast;active dried yeast;dried active yeast;dried instant yeast;bread machine yeast",
    uk: "yeast-dried",
    how: "taken",
    why: "",
  },
  { names: "yeast", uk: "yeast-dried yeast-fresh", how: "ask", why: "Yeast may be dried or fresh." },
  { names: "salt", uk: "salt", how: "taken", why: "" },
  {
    names:
      "sea salt flake;flaky salt;flaky sea salt;flaked sea salt;sea salt;kosher salt;coarse salt;coarse sea salt;rock salt;salt flake",
    uk: "salt",
    how: "taken",
    why: "",
  },
  { names: "clove;whole clove", uk: "cloves", how: "taken", why: "" },
  {
    names: "cinnamon stick;stick cinnamon;cinnamon quill;stick of cinnamon",
    uk: "cinnamon",
    how: "ask",
    why: "A stick gives its flavour and is taken out again; the book has ground cinnamon only.",
  },
  {
    names: "crushed pineapple;canned pineapple;tinned pineapple;pineapple ring;canned crushed pineapple",
    uk: "pineapple",
    how: "ask",
    why: NEAREST,
  },
  { names: "ginger", uk: "ginger-ground ginger-root", how: "ask", why: "Ginger may be ground or fresh root." },
  {
    names:
      "star anise;black pepper;pepper;peppercorn;black peppercorn;pink peppercorn;white pepper;cayenne;cayenne pepper;paprika;fennel seed;cumin;chilli;turmeric;lavender;rosemary;thyme;mint;basil;matcha;matcha powder;freeze dried raspberry;freeze dried strawberry;apple pie spice;chai spice;gingerbread spice;lebkuchen spice;speculaas spice",
    uk: "mixed-spice",
    how: "ask",
    why: NEAREST,
  },
  {
    names: "pumpkin",
    uk: "pumpkin pumpkin-puree",
    us: "pumpkin-puree pumpkin",
    how: "ask uk",
    why: "Pumpkin may be raw or a purée.",
  },
  { names: "beetroot;beet", uk: "beetroot beetroot-cooked", how: "ask", why: "Beetroot may be raw or cooked." },
  { names: "apple", uk: "apple cooking-apple", how: "taken", why: "Apple alone is read as an eating apple, peeled and cored." },
  {
    names: "coffee;strong coffee;black coffee;strong black coffee;brewed coffee;strong brewed coffee;fresh coffee",
    uk: "coffee-brewed coffee-espresso coffee-instant",
    how: "taken",
    why: "Coffee as a liquid is read as brewed.",
  },
  {
    names: "non stick spray;nonstick spray;cooking spray;baking spray;oil spray;cooking oil spray",
    uk: "vegetable-oil",
    how: "taken",
    why: "A spray is oil for the tin.",
  },
  {
    names: "instant espresso;espresso powder;instant espresso powder;espresso granules",
    uk: "coffee-instant",
    how: "taken",
    why: "",
  },
  {
    names: "high ratio fat;emulsified shortening;high ratio shortening;cake shortening",
    uk: "shortening",
    how: "taken",
    why: "",
  },
  { names: "strong espresso;hot espresso;espresso coffee", uk: "coffee-espresso", how: "taken", why: "" },
  { names: "ground coffee;coffee ground;coffee bean", uk: "coffee-instant", how: "ask", why: NEAREST },
  {
    names: "vinegar",
    uk: "vinegar-white vinegar-cider",
    how: "taken",
    why: "The name does not say which vinegar: distilled is taken.",
  },
  {
    names: "white wine vinegar;red wine vinegar;malt vinegar;rice vinegar",
    uk: "vinegar-white vinegar-cider",
    how: "taken",
    why: "The book has distilled vinegar, the nearest.",
  },
  {
    names: "prosecco;champagne;cava;sparkling wine;dry white wine",
    uk: "wine-white",
    how: "taken",
    why: "Sparkling and dry white wine are read as white wine.",
  },
  { names: "wine", uk: "wine-white wine-red", how: "ask", why: "The name does not say which wine." },
  { names: "sherry;port;madeira;dessert wine", uk: "wine-dessert-sweet", how: "ask", why: NEAREST },
  {
    names: "liqueur;orange liqueur;amaretto;limoncello;cherry liqueur;irish cream;cream liqueur;almond liqueur",
    uk: "coffee-liqueur spirits-40",
    how: "ask",
    why: NEAREST,
  },
  { names: "stout;porter;cider;ale", uk: "beer", how: "ask", why: NEAREST },
  {
    names:
      "gelatine;unflavored gelatine;unflavoured gelatine;unflavoured powdered gelatine;unflavored powdered gelatine;unflavored gelatine powder;gelatine leaf;leaf gelatine;sheet gelatine;gelatine sheet;powdered gelatine;gelatine powder;gelatine granule",
    uk: "gelatine",
    how: "taken",
    why: "",
  },
  {
    names: "fondant;icing;white icing;fondant icing",
    uk: "fondant-icing icing-sugar-uk",
    how: "ask",
    why: "It may be a bought paste or an icing made from sugar.",
  },
  {
    names: "oatmeal",
    uk: "rolled-oats oat-flour",
    us: "rolled-oats",
    how: "ask uk",
    why: "Oatmeal may be cut oats or rolled oats.",
  },
  {
    names:
      "stick margarine;vegan block margarine;hard block margarine;block margarine;cake margarine;baking margarine;hard margarine;baking block",
    uk: "block-margarine",
    us: "margarine-stick-us",
    how: "taken",
    why: "",
  },
  { names: "chickpea water", uk: "aquafaba", how: "taken", why: "" },
  {
    names: "dairy free yoghurt;soya yoghurt;coconut yoghurt;vanilla yoghurt;fruit yoghurt;raspberry yoghurt;strawberry yoghurt",
    uk: "yoghurt-whole-uk",
    how: "ask",
    why: NEAREST,
  },
  {
    names: "custard;ready made custard;fresh custard;tinned custard",
    uk: "",
    how: "ask",
    why: "It is not in the book; add it as your own ingredient from its packet.",
  },
  { names: "tea;cold tea;hot tea;strong tea;earl grey tea", uk: "tea-brewed", how: "taken", why: "Tea is read as the drink." },
  { names: "tea bag;teabag;tea leaf;loose tea;earl grey tea bag", uk: "", how: "ask", why: "Dry tea is not in the book." },
  {
    names:
      "ice cream;vanilla ice cream;puff pastry;shortcrust pastry;filo pastry;pastry;buttercream;royal icing sugar;cake mix;yellow cake mix;pudding mix;instant pudding;instant pudding mix;vanilla pudding mix;instant vanilla pudding mix;meringue nest;mini egg;chocolate egg;easter egg;jelly;jelly cube;peanut butter cup;marshmallow;marshmallow fluff;hundred and thousand;sprinkle;chocolate sprinkle;popping candy;cookie;chocolate cookie;ginger biscuit;ginger nut;shortbread;pretzel;toffee;fudge;honeycomb;sweet;candy",
    uk: "",
    how: "ask",
    why: "It is not in the book; add it as your own ingredient from its packet.",
  },
];

/** Words that say how a thing is prepared or how good it is, and not what it is. Dropped when the whole name is not known. */
export const PREPARATION_WORDS: ReadonlySet<string> = new Set(
  (
    "fresh freshly finely roughly coarsely thinly thickly grated chopped sifted sieved melted softened soft cold warm hot boiling boiled " +
    "lukewarm tepid cool cooled chilled cubed cube diced dice sliced free range organic good quality best very ripe unwaxed room temperature beaten lightly " +
    "toasted pitted stoned peeled cored mashed crushed fine pure extra about of the your our favourite favorite washed rinsed drained squeezed " +
    "shelled level packed firmly loosely a an some hulled segmented zested juiced scraped split broken torn piece chunk cut up into small large medium big " +
    "halved quartered shredded whipped whisked stirred strained separated dry unbeaten fairly really nice local well overripe spotty deseeded trimmed topped tailed " +
    "crumbled flaked toasted roasted hot simmering freshlysqueezed squeezed juice's lump coarse natural real proper regular standard ordinary normal " +
    "defrosted thawed frozen uncooked raw unbleached bleached sized size new for at plus such as preferably ideally weight unsifted premium fairtrade fair trade homemade home made shop bought storebought store " +
    "from with skin on british english plump juicy firm tart crisp bite ready to eat no soak creamy crunchy cooking eating button callet disc luxury rich fruity runny mild scented italian french spanish sicilian cornish belgian californian turkish farmhouse seasonal garden victoria mini curl shaving each leftover bought everyday basic traditional fashioned steamed granny smith braeburn cox gala fuji honeycrisp conference comice nantes"
  )
    .split(" ")
    .filter((word) => /^[a-z]+$/.test(word)),
);
