import type { BakeSection } from "@evencrumb/core/bake";
import { type RefObject, useEffect, useRef, useState } from "react";
import { HEAT_COLOURS, HEAT_GRADIENT, heatIndex, SCALE_FROM_C, SCALE_TICKS_C, SCALE_TO_C } from "./colours.js";
import { contour, type SectionGrid, sectionAt } from "./sectionGrid.js";

/** The cake cut through the middle at one moment: both halves, its height, and how hot each part is. */
export function SectionPicture({
  section,
  timeS,
  doneC,
  tinDepthM,
  label,
}: {
  section: BakeSection;
  timeS: number;
  /** The coldest point counts as done at this temperature [°C]: drawn as a dashed line. */
  doneC: number;
  /** Height of the tin's wall [m]; 0 where it is not drawn. */
  tinDepthM: number;
  label: string;
}) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const width = useWidth(canvas);
  const radius = section.acrossM.at(-1)!;
  const room = Math.max(tinDepthM, tallest(section)) * 1.06;
  // To scale, unless the cake is so flat or so tall that the picture would be.
  const height = Math.max(70, Math.min(300, ((width - 2 * EDGE) * room) / (2 * radius)));
  useEffect(() => {
    if (canvas.current === null || width === 0) return;
    draw(canvas.current, sectionAt(section, timeS), { width, height, room, doneC, tinDepthM });
  }, [section, timeS, doneC, width, height, room, tinDepthM]);
  return <canvas ref={canvas} className="bake-section" role="img" aria-label={label} style={{ height: height + EDGE }} />;
}

const EDGE = 6;

/** The tallest that any column becomes [m]. */
function tallest({ growth, acrossM, upM, timesS }: BakeSection): number {
  const [across, up] = [acrossM.length - 1, upM.length - 1];
  let most = 0;
  for (let frame = 0; frame < timesS.length; frame++)
    for (let i = 0; i < across; i++) {
      let tall = 0;
      for (let k = 0; k < up; k++) tall += (upM[k + 1]! - upM[k]!) * growth[(frame * up + k) * across + i]!;
      if (tall > most) most = tall;
    }
  return most;
}

function useWidth(element: RefObject<HTMLElement | null>): number {
  const [width, setWidth] = useState(0);
  useEffect(() => {
    if (element.current === null) return;
    const observer = new ResizeObserver(([entry]) => setWidth(Math.round(entry?.contentRect.width ?? 0)));
    observer.observe(element.current);
    return () => observer.disconnect();
  }, [element]);
  return width;
}

function draw(
  canvas: HTMLCanvasElement,
  grid: SectionGrid,
  at: {
    readonly width: number;
    readonly height: number;
    readonly room: number;
    readonly doneC: number;
    readonly tinDepthM: number;
  },
): void {
  const pen = canvas.getContext("2d");
  if (pen === null) return;
  const ratio = Math.min(2, window.devicePixelRatio || 1);
  const [wide, high] = [Math.round(at.width * ratio), Math.round((at.height + EDGE) * ratio)];
  if (canvas.width !== wide || canvas.height !== high) {
    canvas.width = wide;
    canvas.height = high;
  }
  const { columns, rows, xM, yM, temperatureC } = grid;
  const image = pen.createImageData(wide, high);
  const radius = xM[columns - 1]!;
  const middle = wide / 2;
  const perM = (wide / 2 - EDGE * ratio) / radius;
  const upPerM = (at.height * ratio) / at.room;
  const floor = high - EDGE * ratio;
  const [ys, ts] = [new Float64Array(rows), new Float64Array(rows)];
  for (let px = 0; px < wide; px++) {
    const x = Math.abs(px + 0.5 - middle) / perM;
    if (x > radius || x < xM[0]!) continue;
    let right = 1;
    while (right < columns - 1 && xM[right]! < x) right++;
    const share = (x - xM[right - 1]!) / (xM[right]! - xM[right - 1]!);
    for (let row = 0; row < rows; row++) {
      const near = row * columns + right - 1;
      ys[row] = yM[near]! * (1 - share) + yM[near + 1]! * share;
      ts[row] = temperatureC[near]! * (1 - share) + temperatureC[near + 1]! * share;
    }
    const top = Math.max(0, Math.ceil(floor - ys[rows - 1]! * upPerM));
    let row = 1;
    for (let py = Math.floor(floor) - 1; py >= top; py--) {
      const y = (floor - py - 0.5) / upPerM;
      while (row < rows - 1 && ys[row]! < y) row++;
      const part = Math.min(1, Math.max(0, (y - ys[row - 1]!) / (ys[row]! - ys[row - 1]! || 1)));
      const colour = 3 * heatIndex(ts[row - 1]! * (1 - part) + ts[row]! * part);
      const byte = 4 * (py * wide + px);
      image.data[byte] = HEAT_COLOURS[colour]!;
      image.data[byte + 1] = HEAT_COLOURS[colour + 1]!;
      image.data[byte + 2] = HEAT_COLOURS[colour + 2]!;
      image.data[byte + 3] = 255;
    }
  }
  pen.putImageData(image, 0, 0);

  const trace = (pieces: readonly number[]) => {
    pen.beginPath();
    for (const side of [-1, 1])
      for (let piece = 0; piece < pieces.length; piece += 4) {
        pen.moveTo(middle + side * pieces[piece]! * perM, floor - pieces[piece + 1]! * upPerM);
        pen.lineTo(middle + side * pieces[piece + 2]! * perM, floor - pieces[piece + 3]! * upPerM);
      }
    pen.stroke();
  };
  // Dark and light one over the other: to be seen on every colour of the scale.
  const twice = (pieces: readonly number[], dash: readonly number[]) => {
    pen.setLineDash(dash.map((part) => part * ratio));
    pen.strokeStyle = "#2a0f1c";
    pen.lineWidth = 3.4 * ratio;
    trace(pieces);
    pen.strokeStyle = "#fffdf4";
    pen.lineWidth = 1.6 * ratio;
    trace(pieces);
    pen.setLineDash([]);
  };
  twice(contour(grid, grid.set, 0.5), []);
  twice(contour(grid, temperatureC, at.doneC), [5, 4]);

  const ink = getComputedStyle(canvas).color;
  pen.strokeStyle = ink;
  pen.lineWidth = 1.6 * ratio;
  if (at.tinDepthM > 0) {
    const wall = floor - at.tinDepthM * upPerM;
    pen.beginPath();
    for (const outer of xM[0]! > 0 ? [radius, xM[0]!] : [radius])
      for (const side of [-1, 1]) {
        const x = middle + side * (outer * perM + (outer === radius ? 2 : -2) * ratio);
        pen.moveTo(x, wall);
        pen.lineTo(x, floor + 2 * ratio);
      }
    if (xM[0]! > 0)
      for (const side of [-1, 1]) {
        pen.moveTo(middle + side * (xM[0]! * perM - 2 * ratio), floor + 2 * ratio);
        pen.lineTo(middle + side * (radius * perM + 2 * ratio), floor + 2 * ratio);
      }
    else {
      pen.moveTo(middle - radius * perM - 2 * ratio, floor + 2 * ratio);
      pen.lineTo(middle + radius * perM + 2 * ratio, floor + 2 * ratio);
    }
    pen.stroke();
  }
}

/** What the colours and the two lines mean. */
export function HeatLegend({ doneC }: { doneC: number }) {
  return (
    <div className="heat-legend">
      <div className="heat-scale" aria-hidden="true">
        <span className="heat-bar" style={{ backgroundImage: HEAT_GRADIENT }} />
        {SCALE_TICKS_C.map((tick, index) => (
          <span
            key={tick}
            className="heat-tick figures"
            style={{ left: `${((tick - SCALE_FROM_C) / (SCALE_TO_C - SCALE_FROM_C)) * 100}%` }}
          >
            {tick}
            {index === SCALE_TICKS_C.length - 1 ? " °C" : ""}
          </span>
        ))}
      </div>
      <p className="small muted heat-keys">
        <span>
          <svg className="heat-key" viewBox="0 0 30 8" aria-hidden="true">
            <path className="dark" d="M0 4H30" />
            <path className="light" d="M0 4H30" />
          </svg>
          half of the starch has set
        </span>
        <span>
          <svg className="heat-key" viewBox="0 0 30 8" aria-hidden="true">
            <path className="dark" strokeDasharray="5 4" d="M0 4H30" />
            <path className="light" strokeDasharray="5 4" d="M0 4H30" />
          </svg>
          {doneC.toFixed(0)} °C, done
        </span>
      </p>
    </div>
  );
}
