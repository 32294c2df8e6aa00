import { type BatchCost, COST_KIND_WORDS, costByKind, formatMoney } from "@evencrumb/core/price";

/** The cost by kind as one bar; the compared one, to the same scale, stands above it. */
export function CostBar({ cost, before }: { cost: BatchCost; before: BatchCost | null }) {
  const most = Math.max(cost.batch.minor, before?.batch.minor ?? 0, 1);
  return (
    <div className="cost-bars">
      {before === null ? null : <OneBar cost={before} most={most} name="Compared" isGhost />}
      <OneBar cost={cost} most={most} name="Now" />
      <ul className="cost-keys">
        {costByKind(cost).map(({ kind, minor }) => (
          <li key={kind}>
            <span className={`swatch cost-${kind}`} /> {COST_KIND_WORDS[kind]}{" "}
            <span className="figures muted">{formatMoney({ minor, currency: cost.batch.currency })}</span>
          </li>
        ))}
      </ul>
    </div>
  );
}

function OneBar({ cost, most, name, isGhost = false }: { cost: BatchCost; most: number; name: string; isGhost?: boolean }) {
  const kinds = costByKind(cost);
  const words = kinds.map(
    ({ kind, minor }) => `${COST_KIND_WORDS[kind]} ${formatMoney({ minor, currency: cost.batch.currency })}`,
  );
  return (
    <div className={isGhost ? "cost-bar ghost" : "cost-bar"} role="img" aria-label={`${name}: ${words.join(", ")}`}>
      {kinds.map(({ kind, minor }) => (
        <span key={kind} className={`cost-${kind}`} style={{ width: `${(100 * minor) / most}%` }} />
      ))}
    </div>
  );
}
