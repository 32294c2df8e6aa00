import { formatMoney, type PricePoint } from "@evencrumb/core/price";

const [EDGE, DAY_MS] = [3, 86_400_000];

/**
 * The price of a kilogram over time as steps: each price holds until the next. Those without a date stand at the start.
 *
 * @param until  ISO 8601 day at which the picture ends
 */
export function HistoryPicture({
  points,
  currency,
  until,
  width = 360,
  height = 120,
  isBare = false,
}: {
  points: readonly PricePoint[];
  currency: string;
  until: string;
  width?: number;
  height?: number;
  /** Without words: in a row of a table that has them. */
  isBare?: boolean;
}) {
  const seen = points.filter(({ date }) => date === undefined || date <= until);
  if (seen.length === 0) return null;
  const day = (text: string) => Date.parse(text) / DAY_MS;
  const dated = seen.flatMap(({ date }) => (date === undefined ? [] : [day(date)]));
  const end = Math.max(day(until), ...dated);
  const start = Math.min(end - 30, ...dated);
  const prices = seen.map(({ perKgMinor }) => perKgMinor);
  const most = Math.max(...prices);
  // From nought: a tenth dearer looks like a tenth.
  const [under, right] = isBare ? [EDGE, EDGE] : [22, 64];
  const y = (minor: number) => height - under - (minor / Math.max(1, most)) * (height - under - 2 * EDGE);
  const x = (at: number) => EDGE + ((at - start) / Math.max(1, end - start)) * (width - EDGE - right);
  const steps = seen.map((point, index) => {
    const [from, next] = [point.date === undefined ? start : day(point.date), seen[index + 1]?.date];
    return { from: x(from), to: x(next === undefined ? end : day(next)), y: y(point.perKgMinor) };
  });
  const line = steps.map(({ from, to, y: at }, index) => `${index === 0 ? "M" : "L"}${from} ${at}L${to} ${at}`).join("");
  const money = (minor: number) => formatMoney({ minor: Math.round(minor), currency });
  return (
    <svg
      className="history-picture"
      viewBox={`0 0 ${width} ${height}`}
      width={width}
      height={height}
      role="img"
      aria-label={`A kilogram over time: ${seen.map(({ date, perKgMinor }) => `${money(perKgMinor)}${date === undefined ? "" : ` from ${date}`}`).join(", ")}.`}
    >
      <path className="history-area" d={`${line}L${steps.at(-1)!.to} ${height - under}L${steps[0]!.from} ${height - under}Z`} />
      <path className="history-line" d={line} />
      {steps.map(({ from, y: at }) => (
        <circle key={`${from} ${at}`} className="history-mark" cx={from} cy={at} r="2.6" />
      ))}
      {isBare ? null : (
        <>
          <text x={EDGE} y={height - 5}>
            {isoDay(start)}
          </text>
          <text x={width - right} y={height - 5} textAnchor="end">
            {isoDay(end)}
          </text>
          <text x={width - right + 6} y={steps.at(-1)!.y + 5}>
            {money(prices.at(-1)!)}
          </text>
        </>
      )}
    </svg>
  );
}

const isoDay = (days: number): string => new Date(days * DAY_MS).toISOString().slice(0, 10);
