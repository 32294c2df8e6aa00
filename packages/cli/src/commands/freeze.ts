import { predictBake } from "@evencrumb/core/bake";
import { defineCommand } from "../command.js";
import { refuse } from "../io.js";
import { jsonText } from "../render/json.js";
import { tableText } from "../render/table.js";
import { BAKE_FLAGS, type BakeOptions, bakeRequest, coolingAsJson, flagProblem, minutesText } from "./bake.js";

export const freezeCommand = defineCommand<
  BakeOptions & { readonly freezer?: string; readonly blast?: boolean; readonly thaw?: string }
>({
  name: "freeze",
  summary: "How long a component takes to freeze through, wrapped as soon as it can be, and to thaw again.",
  arguments: [["<file>", 'formula file, or "-" for the standard input']],
  options: [
    ...BAKE_FLAGS,
    ["--room <celsius>", "room in which it cools", "20"],
    ["--freezer <celsius>", "air of the freezer", "-18"],
    ["--blast", "a blast freezer with moving air"],
    ["--thaw <celsius>", "thawed in its wrapping at this temperature", "20"],
  ],
  examples: ["evencrumb freeze sandwich.yaml", "evencrumb freeze sandwich.yaml --freezer -25 --blast --json"],
  async run({ args, json, room, freezer, blast, thaw, ...options }, io) {
    const airC = Number(freezer ?? "-18");
    const roomC = Number(room ?? "20");
    const thawC = Number(thaw ?? "20");
    if (!(airC >= -40 && airC <= -10)) return refuse(io, [flagProblem("freezer", String(freezer), "-40 to -10 °C")]);
    if (!(roomC >= 5 && roomC <= 40)) return refuse(io, [flagProblem("room", String(room), "5 to 40 °C")]);
    if (!(thawC >= 2 && thawC <= 30)) return refuse(io, [flagProblem("thaw", String(thaw), "2 to 30 °C")]);
    const asked = await bakeRequest(args[0], options, io);
    if (typeof asked === "number") return asked;
    const prediction = predictBake({
      ...asked.request,
      after: { roomC, freezer: { airC, blast: blast === true }, thawC },
    });
    const cooling = prediction.cooling!;
    const { wrapSeconds, frozenSeconds = null, thawedSeconds = null } = cooling;
    const span = (from: number | null, to: number | null) => (from === null || to === null ? null : to - from);
    if (json) {
      io.print(
        jsonText("freeze", { component: asked.component.name, outSeconds: prediction.outSeconds, ...coolingAsJson(cooling) }),
      );
      return frozenSeconds === null ? 1 : 0;
    }
    const left = (heading: string) => ({ heading, align: "left" as const });
    io.print(
      [
        `${asked.component.name}, freezer ${airC} °C${blast ? " with moving air" : ""} (predicted)`,
        "",
        tableText(
          [left(""), left("")],
          [
            ["Wrapped and put in", `${minutesText(wrapSeconds)} after the oven`],
            ["Frozen through", `${minutesText(span(wrapSeconds, frozenSeconds))} later`],
            ["Thawed", `${minutesText(span(frozenSeconds, thawedSeconds))} after it is taken out`],
          ],
        ),
        "",
        ...cooling.rules,
        ...cooling.cautions,
      ].join("\n"),
    );
    return frozenSeconds === null ? 1 : 0;
  },
});
