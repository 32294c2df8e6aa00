import type { OvenRecord, RecordResidual } from "@evencrumb/core/bake";
import { formatPercent } from "@evencrumb/core/quantities";
import { useMemo } from "react";
import type { Kept } from "../app/house.js";
import { today } from "../parts/dates.js";
import { useJob } from "../work/useJob.js";
import { tickStep } from "./curvePictures.js";
import { calibrationOf, type OwnOven, type PositionCalibration } from "./documents.js";
import { manyBakes, type PositionAnswer } from "./jobs.js";

/** What the records of one oven say of it, place by place. */
export function CalibrationView({
  oven,
  records,
  nameOf,
  onUse,
}: {
  oven: Kept<OwnOven>;
  records: readonly { readonly position: string; readonly record: OvenRecord }[];
  /** The name a record is listed under. */
  nameOf: (name: string) => string;
  onUse: (calibration: PositionCalibration) => void;
}) {
  const asked = useMemo(
    () =>
      oven.body.positions
        .map(({ name }) => ({
          position: name,
          records: records.filter(({ position }) => position === name).map(({ record }) => record),
        }))
        .filter((place) => place.records.length > 0),
    [oven, records],
  );
  const job = useJob(manyBakes, "calibrate", asked.length === 0 ? null : asked, 100);
  if (asked.length === 0) return null;
  if (job.state === "stopped")
    return (
      <p className="muted">
        Stopped.{" "}
        <button type="button" className="button quiet" onClick={job.again}>
          Go on
        </button>
      </p>
    );
  if (job.state !== "ready")
    return (
      <p className="muted" role="status">
        Calibrating{job.state === "working" && job.progress !== null ? `, ${formatPercent(100 * job.progress, 0)}` : ""}…{" "}
        {job.state === "working" ? (
          <button type="button" className="button quiet" onClick={job.stop}>
            Stop
          </button>
        ) : null}
      </p>
    );
  const { positions, compared } = job.answer;
  return (
    <div className="stack">
      {positions.map((answer) => (
        <Place key={answer.position} answer={answer} oven={oven} nameOf={nameOf} onUse={onUse} />
      ))}
      {compared.map((words) => (
        <p key={words}>{words}</p>
      ))}
    </div>
  );
}

function Place({
  answer,
  oven,
  nameOf,
  onUse,
}: {
  answer: PositionAnswer;
  oven: Kept<OwnOven>;
  nameOf: (name: string) => string;
  onUse: (calibration: PositionCalibration) => void;
}) {
  const { position, calibration } = answer;
  const { fit, flagged, used, misfit } = calibration;
  const inUse = calibrationOf(oven.body, position);
  const same = inUse !== undefined && JSON.stringify(inUse.fit) === JSON.stringify(fit);
  return (
    <article className="calibration stack" aria-label={`Calibration of ${position}`}>
      <h3>{position}</h3>
      <p>
        The air is <strong>{signed(fit.offsetK)} °C</strong> against the setting, give or take {fit.offsetSpreadK.toFixed(1)} °C.
        Heat from above is {fit.aboveFactor.toFixed(2)} times a usual oven's, from below and the sides{" "}
        {fit.belowFactor.toFixed(2)} times (estimated from {used.length} {used.length === 1 ? "bake" : "bakes"}
        {used.length < 3 ? "; with so few, what is usual still counts for much" : ""}).
      </p>
      {flagged.map(({ name, why }) => (
        <p key={name} className="caution">
          Left out, {nameOf(name)}: {why}
        </p>
      ))}
      <Residuals
        before={calibration.before}
        after={calibration.after}
        leftOut={flagged.map(({ name }) => name)}
        nameOf={nameOf}
      />
      <p className="muted small">
        On average {misfit.before.toFixed(1)} standard deviations off before, {misfit.after.toFixed(1)} after.
      </p>
      {answer.probe === undefined ? null : <ProbePicture probe={answer.probe} name={nameOf(answer.probe.name)} />}
      <div className="buttons">
        <button
          type="button"
          className="button main"
          disabled={same}
          onClick={() => onUse({ position, fit, records: used.length, madeOn: today() })}
        >
          {same ? "In use" : "Use this calibration"}
        </button>
        {inUse === undefined || same ? null : (
          <span className="muted small">
            In use: {signed(inUse.fit.offsetK)} °C, from {inUse.records} records of {inUse.madeOn}.
          </span>
        )}
      </div>
    </article>
  );
}

const WIDTH = 420;

/** How far each measurement lies from the prediction, before as a ring and after as a dot. */
function Residuals({
  before,
  after,
  leftOut,
  nameOf,
}: {
  before: readonly RecordResidual[];
  after: readonly RecordResidual[];
  /** Records that do not set the scale; they stand at its end with their figure. */
  leftOut: readonly string[];
  nameOf: (name: string) => string;
}) {
  const counted = [...before, ...after].filter(({ name }) => !leftOut.includes(name));
  const most = Math.max(2, Math.ceil(Math.max(...counted.map(({ deviations }) => Math.abs(deviations)))));
  const x = (deviations: number) => 12 + ((WIDTH - 24) * (Math.min(most, Math.max(-most, deviations)) + most)) / (2 * most);
  const step = most > 6 ? tickStep(2 * most) : most > 3 ? 2 : 1;
  const ticks = Array.from({ length: 2 * Math.floor(most / step) + 1 }, (_, index) => (index - Math.floor(most / step)) * step);
  return (
    <table className="plain-table residuals">
      <thead>
        <tr>
          <th scope="col">Bake</th>
          <th scope="col">
            <span className="residual-key">
              <svg viewBox="-7 -7 14 14" width="14" height="14" aria-hidden="true">
                <circle className="residual-before" r="5" />
              </svg>{" "}
              before{" "}
              <svg viewBox="-7 -7 14 14" width="14" height="14" aria-hidden="true">
                <circle className="residual-after" r="5" />
              </svg>{" "}
              after, in standard deviations
            </span>
          </th>
        </tr>
      </thead>
      <tbody>
        {after.map((residual, index) => {
          const was = before[index]?.deviations ?? 0;
          return (
            <tr key={`${residual.name} ${residual.measured}`}>
              <th scope="row">
                {after[index - 1]?.name === residual.name ? null : nameOf(residual.name)}
                <span className="muted small residual-words">{residual.words}</span>
              </th>
              <td>
                <svg
                  className="residual"
                  viewBox={`0 0 ${WIDTH} 34`}
                  role="img"
                  aria-label={`${was.toFixed(1)} before, ${residual.deviations.toFixed(1)} after`}
                >
                  <rect className="residual-usual" x={x(-1)} width={x(1) - x(-1)} y="0" height="34" />
                  <line className="residual-zero" x1={x(0)} x2={x(0)} y1="0" y2="34" />
                  <line className="residual-move" x1={x(was)} x2={x(residual.deviations)} y1="17" y2="17" />
                  {Math.abs(residual.deviations) <= most ? null : (
                    <text
                      className="scale-word"
                      x={residual.deviations < 0 ? 26 : WIDTH - 26}
                      y="22"
                      textAnchor={residual.deviations < 0 ? "start" : "end"}
                    >
                      {residual.deviations < 0 ? `‹ ${signed(residual.deviations)}` : `${signed(residual.deviations)} ›`}, left
                      out
                    </text>
                  )}
                  {Math.abs(was) > most ? null : <circle className="residual-before" cx={x(was)} cy="17" r="6" />}
                  <circle className="residual-after" cx={x(residual.deviations)} cy="17" r="6" />
                </svg>
              </td>
            </tr>
          );
        })}
        <tr className="residual-axis">
          <td />
          <td>
            <svg className="residual" viewBox={`0 0 ${WIDTH} 20`} aria-hidden="true">
              {ticks.map((tick) => (
                <text key={tick} className="scale-word" x={x(tick)} y="15" textAnchor="middle">
                  {tick < 0 ? `−${-tick}` : tick}
                </text>
              ))}
            </svg>
          </td>
        </tr>
      </tbody>
    </table>
  );
}

/** Readings of a probe in the middle, and the prediction before and after. */
function ProbePicture({ probe, name }: { probe: NonNullable<PositionAnswer["probe"]>; name: string }) {
  const [width, height, left, right] = [560, 210, 44, 120];
  const { measured } = probe;
  const until = Math.max(measured.timesS.at(-1) ?? 0, probe.before.timesS.at(-1) ?? 0, 60);
  const x = (seconds: number) => left + ((width - left - right) * seconds) / until;
  const y = (celsius: number) => 8 + ((height - 40) * (110 - celsius)) / 110;
  const line = ({ timesS, centreC }: { timesS: Float64Array; centreC: Float64Array }) =>
    Array.from(timesS, (time, index) => `${x(time).toFixed(1)},${y(centreC[index]!).toFixed(1)}`).join(" ");
  const ends = [
    ["before", probe.before],
    ["after", probe.after],
  ] as const;
  const step = tickStep(until / 60);
  const apartBy = y(probe.before.centreC.at(-1)!) < y(probe.after.centreC.at(-1)!) ? -1 : 1;
  return (
    <figure className="probe-figure">
      <svg
        className="bake-curves"
        viewBox={`0 0 ${width} ${height}`}
        role="img"
        aria-label={`Temperature in the middle of ${name}: measured, and predicted before and after the calibration`}
      >
        {[0, 20, 40, 60, 80, 100].map((tick) => (
          <g key={tick}>
            <line className="grid-line" x1={left} x2={width - right} y1={y(tick)} y2={y(tick)} />
            <text className="scale-word" x={left - 7} y={y(tick) + 4} textAnchor="end">
              {tick}
              {tick === 100 ? " °C" : ""}
            </text>
          </g>
        ))}
        {Array.from({ length: Math.floor(until / 60 / step) + 1 }, (_, index) => index * step).map((tick, index, all) => (
          <text key={tick} className="scale-word" x={x(60 * tick)} y={height - 8} textAnchor="middle">
            {tick}
            {index === all.length - 1 ? " min" : ""}
          </text>
        ))}
        {ends.map(([words, curve]) => (
          <g key={words} className={`bake-line ${words === "before" ? "edge" : "coldest"}`}>
            <polyline points={line(curve)} />
            <text x={width - right + 8} y={y(curve.centreC.at(-1)!) + 5 + (words === "before" ? apartBy : -apartBy) * 8}>
              {words}
            </text>
          </g>
        ))}
        {measured.timesS.map((time, index) => (
          <circle key={time} className="probe-dot" cx={x(time)} cy={y(measured.temperaturesC[index]!)} r="5" />
        ))}
      </svg>
      <figcaption className="muted small">Temperature in the middle, {name}: dots were measured.</figcaption>
    </figure>
  );
}

const signed = (value: number) => `${value < 0 ? "−" : "+"}${Math.abs(value).toFixed(1)}`;
