/** From low to high, as typed, in one unit. */
export function RangeFields({
  low,
  high,
  unit,
  onLow,
  onHigh,
}: {
  low: string;
  high: string;
  unit: string;
  onLow: (text: string) => void;
  onHigh: (text: string) => void;
}) {
  return (
    <span className="range">
      <label>
        from <input className="short" inputMode="decimal" value={low} onChange={(event) => onLow(event.currentTarget.value)} />
      </label>
      <label>
        to <input className="short" inputMode="decimal" value={high} onChange={(event) => onHigh(event.currentTarget.value)} />
      </label>
      <span className="muted">{unit}</span>
    </span>
  );
}
