/** One dot for each taster who answered: filled for a right answer, or for the second cake. */
export function TasterDots({ marked, of, line, label }: { marked: number; of: number; line: number; label: string }) {
  const columns = Math.min(of, 20);
  const rows = Math.ceil(of / columns);
  const step = Math.min(44, 600 / columns);
  return (
    <svg className="picture dots" viewBox={`0 0 640 ${rows * step + 40}`} role="img" aria-label={label}>
      {Array.from({ length: of }, (_, index) => (
        <circle
          // biome-ignore lint/suspicious/noArrayIndexKey: a dot stands for any taster
          key={index}
          className={index < marked ? "estimate" : "ring"}
          cx={20 + step / 2 + (index % columns) * step}
          cy={step / 2 + Math.floor(index / columns) * step}
          r={step * 0.34}
        />
      ))}
      {rows === 1 ? (
        <>
          <line className="mean" x1={20 + line * step} x2={20 + line * step} y1={0} y2={step + 6} />
          <text x={20 + line * step} y={step + 26} textAnchor="middle">
            by guessing
          </text>
        </>
      ) : null}
    </svg>
  );
}
