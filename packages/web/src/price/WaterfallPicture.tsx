import { type WaterfallBar, waterfallPicture, waterfallWords } from "@evencrumb/core/price";

/** The price built up from its parts, each standing on the one before; the words and sums are in it, so that it prints as it is. */
export function WaterfallPicture({ bars, currency }: { bars: readonly WaterfallBar[]; currency: string }) {
  if (bars.length === 0) return null;
  const picture = waterfallPicture(bars, currency);
  return (
    <svg className="waterfall" viewBox={`0 0 ${picture.width} ${picture.height}`} role="img" aria-label={waterfallWords(picture)}>
      <line className="waterfall-zero" x1={picture.zeroX} x2={picture.zeroX} y1="0" y2={picture.height} />
      {picture.rows.map(({ name, kind, x, y, width, height, textY, linkX, money }) => (
        <g key={name}>
          <text x="0" y={textY} className={kind === "price" ? "strong" : undefined}>
            {name}
          </text>
          <rect className={`waterfall-${kind}`} x={x} y={y} width={width} height={height} />
          {linkX === undefined ? null : (
            <line className="waterfall-link" x1={linkX} x2={linkX} y1={y + height} y2={y + height + 10} />
          )}
          <text x={picture.width} y={textY} textAnchor="end" className={kind === "price" ? "strong figures" : "figures"}>
            {money}
          </text>
        </g>
      ))}
    </svg>
  );
}
