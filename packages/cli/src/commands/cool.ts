import { type AfterPlan, predictBake } from "@evencrumb/core/bake";
import { defineCommand } from "../command.js";
import { refuse } from "../io.js";
import { jsonText } from "../render/json.js";
import { tableText } from "../render/table.js";
import { BAKE_FLAGS, type BakeOptions, bakeRequest, coolingAsJson, flagProblem, minutesText } from "./bake.js";

export const coolCommand = defineCommand<BakeOptions & { readonly inTin?: string; readonly fridge?: string }>({
  name: "cool",
  summary: "How long a component cools in its tin and on the rack: when it can be handled, wrapped, filled, or is chilled.",
  arguments: [["<file>", 'formula file, or "-" for the standard input']],
  options: [
    ...BAKE_FLAGS,
    ["--room <celsius>", "room in which it cools", "20"],
    ["--in-tin <minutes>", "left in the tin this long; until it can be handled if left out"],
    ["--fridge <celsius>", "put wrapped into a refrigerator of this temperature"],
  ],
  examples: ["evencrumb cool sandwich.yaml", "evencrumb cool sandwich.yaml --room 26 --fridge 4 --json"],
  async run({ args, json, room, inTin, fridge, ...options }, io) {
    const plan: AfterPlan = {
      roomC: Number(room ?? "20"),
      ...(inTin === undefined ? {} : { inTinS: 60 * Number(inTin) }),
      ...(fridge === undefined ? {} : { fridgeC: Number(fridge) }),
    };
    if (!(plan.roomC >= 5 && plan.roomC <= 40)) return refuse(io, [flagProblem("room", String(room), "5 to 40 °C")]);
    if (plan.inTinS !== undefined && !(plan.inTinS >= 0 && plan.inTinS <= 14_400))
      return refuse(io, [flagProblem("in-tin", String(inTin), "0 to 240 min")]);
    if (plan.fridgeC !== undefined && !(plan.fridgeC >= 0 && plan.fridgeC <= 12))
      return refuse(io, [flagProblem("fridge", String(fridge), "0 to 12 °C")]);
    const asked = await bakeRequest(args[0], options, io);
    if (typeof asked === "number") return asked;
    const prediction = predictBake({ ...asked.request, after: plan });
    const cooling = prediction.cooling!;
    if (json) {
      io.print(
        jsonText("cool", { component: asked.component.name, outSeconds: prediction.outSeconds, ...coolingAsJson(cooling) }),
      );
      return 0;
    }
    const rows = [
      ["Can be handled", minutesText(cooling.handleSeconds)],
      ["Turned out", minutesText(cooling.turnedOutSeconds)],
      ["Can be wrapped", minutesText(cooling.wrapSeconds)],
      ["Can be filled", minutesText(cooling.fillSeconds)],
      ...(cooling.chilledSeconds === undefined ? [] : [["Chilled", minutesText(cooling.chilledSeconds)]]),
      ["Lost on the rack", `${cooling.lossPercent.toFixed(1)} % of the batter's weight`],
    ];
    const left = (heading: string) => ({ heading, align: "left" as const });
    io.print(
      [
        `${asked.component.name}, after ${minutesText(prediction.outSeconds)} in the oven (predicted; times from the oven's door)`,
        "",
        tableText([left(""), left("")], rows),
        "",
        ...cooling.rules,
        ...cooling.cautions,
      ].join("\n"),
    );
    return 0;
  },
});
