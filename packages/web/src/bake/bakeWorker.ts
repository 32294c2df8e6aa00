import {
  bakeDraws,
  calibrate,
  explainPositions,
  gatherBakeBands,
  OVEN_PRIOR,
  predictBake,
  runBakeDraws,
} from "@evencrumb/core/bake";
import { serveJobs } from "../work/serve.js";
import type { BakeJobs, PositionAnswer, TinOutlook } from "./jobs.js";

serveJobs<BakeJobs>({
  predict: (request, tell) => ({ request, prediction: predictBake(request, { onProgress: sparsely(tell) }) }),

  band: ({ bake, count }, tell) => gatherBakeBands([runBakeDraws(bake, bakeDraws(bake, count), { onProgress: sparsely(tell) })]),

  tins(list, tell) {
    const rows: TinOutlook[] = [];
    for (const { name, request } of list) {
      const answer = predictBake(request);
      const { timesS, edgeC } = answer.curves;
      const reached = edgeC.findIndex((celsius) => celsius >= answer.doneC);
      rows.push({
        name,
        doneS: answer.doneSeconds,
        outcome: answer.outcome,
        batterMm: answer.height.batterMm,
        centreMm: answer.height.centreMm,
        edgeMm: answer.height.edgeMm,
        edgeAheadS: reached < 0 ? 0 : Math.max(0, answer.doneSeconds.likely - timesS[reached]!),
        browning: answer.browning.words,
        lossPercent: answer.weightLossPercent.likely,
        cautions: answer.cautions,
      });
      tell([...rows]);
    }
    return rows;
  },

  calibrate(positions, tell) {
    const sparse = sparsely(tell);
    const answers = positions.map(({ position, records }, index): PositionAnswer => {
      const calibration = calibrate(records, OVEN_PRIOR, {
        onProgress: (share) => sparse((index + share) / positions.length),
      });
      const probed = records.find((record) => record.probe !== undefined);
      if (probed?.probe === undefined) return { position, calibration };
      const until = probed.probe.timesS.at(-1)!;
      const curve = (fitted: typeof calibration.fit) => {
        const { curves } = predictBake({
          ...probed.request,
          accuracy: "coarse",
          oven: { ...probed.request.oven, fitted },
          bakeSeconds: Math.max(60, until),
        });
        return { timesS: curves.timesS, centreC: curves.centreC };
      };
      const probe = { name: probed.name, before: curve(OVEN_PRIOR), after: curve(calibration.fit), measured: probed.probe };
      return { position, calibration, probe };
    });
    const [first, ...others] = answers;
    const request = positions[0]?.records[0]?.request;
    const compared =
      first === undefined || request === undefined
        ? []
        : others.map(
            (other) =>
              explainPositions(
                request,
                { name: first.position, fit: first.calibration.fit },
                { name: other.position, fit: other.calibration.fit },
              ).words,
          );
    return { positions: answers, compared };
  },
});

/** A message to the page costs more than a step of the solver: not more than one for each hundredth. */
function sparsely(tell: (share: number) => void): (share: number) => void {
  let told = 0;
  return (share) => {
    if (share < told + 0.01) return;
    told = share;
    tell(share);
  };
}
