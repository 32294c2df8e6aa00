import { type BatchCost, COST_KIND_WORDS, costByKind } from "@evencrumb/core/price";
import { addresses } from "../app/route.js";
import { NumberField } from "./NumberField.js";

/** Every line of a batch by kind, the sums of the kinds, and beside each ingredient what of it can be used. */
export function CostTable({
  cost,
  usable,
  onUsable,
  money,
}: {
  cost: BatchCost;
  usable: Readonly<Record<string, number>>;
  onUsable: (ingredient: string, percent: number | undefined) => void;
  money: (minor: number) => string;
}) {
  const kinds = costByKind(cost);
  return (
    <div className="table-area">
      <table className="plain-table figures cost-table">
        <thead>
          <tr>
            <th scope="col">Of a batch</th>
            <th scope="col" className="figure">
              cost
            </th>
            <th scope="col">worked out from</th>
            <th scope="col" className="figure">
              used of it, %
            </th>
          </tr>
        </thead>
        {kinds.map(({ kind, minor }) => (
          <tbody key={kind}>
            <tr className="part-sum">
              <th scope="rowgroup">{COST_KIND_WORDS[kind]}</th>
              <td className="figure strong">{money(minor)}</td>
              <td className="muted small">
                {cost.batch.minor > 0 ? `${((100 * minor) / cost.batch.minor).toFixed(0)} % of the batch` : ""}
              </td>
              <td />
            </tr>
            {cost.lines
              .filter((line) => line.kind === kind)
              .map((line, index) => (
                // biome-ignore lint/suspicious/noArrayIndexKey: two stages of the work may go by one name
                <tr key={`${index} ${line.id}`}>
                  <th scope="row" className="within">
                    {kind === "ingredient" ? <a href={addresses.ingredients(line.id)}>{line.name}</a> : line.name}
                  </th>
                  <td className="figure">{money(line.cost.minor)}</td>
                  <td className="muted small">{line.from}</td>
                  <td className="figure">
                    {kind === "ingredient" ? (
                      <NumberField
                        isBare
                        label={`Used of ${line.name}, %`}
                        placeholder="100"
                        least={0.1}
                        most={100}
                        value={usable[line.id]}
                        onValue={(percent) => onUsable(line.id, percent)}
                      />
                    ) : null}
                  </td>
                </tr>
              ))}
          </tbody>
        ))}
        {cost.missing.length === 0 ? null : (
          <tbody>
            <tr className="part-sum">
              <th scope="rowgroup" colSpan={4}>
                Not priced, and not in the sums
              </th>
            </tr>
            {cost.missing.map((one) => (
              <tr key={`${one.ingredient} ${one.why}`}>
                <th scope="row" className="within">
                  <a href={addresses.ingredients(one.ingredient)}>{one.name}</a>
                </th>
                <td className="figure caution-words">not known</td>
                <td className="muted small" colSpan={2}>
                  {one.why}
                </td>
              </tr>
            ))}
          </tbody>
        )}
        <tfoot>
          <tr>
            <th scope="row">Batch</th>
            <td className="figure strong">{money(cost.batch.minor)}</td>
            <td className="muted small">{cost.missing.length > 0 ? "at least: not all is priced" : ""}</td>
            <td />
          </tr>
        </tfoot>
      </table>
    </div>
  );
}
