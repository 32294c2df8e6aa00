import { type PriceEntry, readPriceList, writePriceList } from "@evencrumb/core/price";
import type { Problem } from "@evencrumb/core/quantities";
import { type ReactNode, useId, useState } from "react";
import { useHouse, useHouseState } from "../app/useHouse.js";
import { download } from "../parts/download.js";

/** A price list is read, and written down to be filled in elsewhere; each fault is said with its row, its column and what to do. */
export function PriceListTools({ toFillIn }: { toFillIn?: { readonly name: string; readonly text: () => string } }) {
  const house = useHouse();
  const { priceLists } = useHouseState();
  const [answer, setAnswer] = useState<{ readonly words: string; readonly problems: readonly Problem[] } | null>(null);
  const entries = priceLists.flatMap(({ body }) => body.entries);
  const read = async (name: string, text: string) => {
    // What is here already has to be known before anything is written behind it.
    if (!house.state().ready) await house.refresh();
    const { value, problems } = readPriceList(text, house.state().book);
    const { added, known } = house.addPrices(value);
    const prices = (count: number) => `${count} ${count === 1 ? "price" : "prices"}`;
    setAnswer({
      problems,
      words: `${name}: ${prices(added)} added${known > 0 ? `, ${known} that ${known === 1 ? "was" : "were"} here already` : ""}${problems.length > 0 ? `; what is wrong in it is listed below, and the other rows stand` : ""}.`,
    });
  };
  return (
    <div className="stack">
      <div className="buttons">
        <ListFile onText={(name, text) => void read(name, text)} />
        {toFillIn === undefined ? null : (
          <button
            type="button"
            className="button plain"
            onClick={() => download(`${toFillIn.name} prices.csv`, toFillIn.text(), "text/csv")}
          >
            Save a list to fill in
          </button>
        )}
        <button
          type="button"
          className="button plain"
          disabled={entries.length === 0}
          onClick={() => download("prices.csv", writePriceList(sorted(entries)), "text/csv")}
        >
          Save all prices
        </button>
      </div>
      <p role="status" className="said">
        {answer?.words}
      </p>
      {answer === null || answer.problems.length === 0 ? null : <Faults problems={answer.problems} />}
    </div>
  );
}

const sorted = (entries: readonly PriceEntry[]) =>
  entries.toSorted(
    (one, other) =>
      one.ingredient.localeCompare(other.ingredient, "en-GB") || (one.pack.date ?? "").localeCompare(other.pack.date ?? ""),
  );

function ListFile({ onText }: { onText: (name: string, text: string) => void }): ReactNode {
  const id = useId();
  return (
    <label className="button main file" htmlFor={id}>
      Read a price list…
      <input
        id={id}
        type="file"
        accept=".csv,text/csv"
        className="hidden-words"
        onChange={(event) => {
          const file = event.currentTarget.files?.[0];
          if (file !== undefined) void file.text().then((text) => onText(file.name, text));
          event.currentTarget.value = "";
        }}
      />
    </label>
  );
}

function Faults({ problems }: { problems: readonly Problem[] }) {
  return (
    <div className="table-area">
      <table className="plain-table faults">
        <thead>
          <tr>
            <th scope="col" className="figure">
              row
            </th>
            <th scope="col">column</th>
            <th scope="col">found</th>
            <th scope="col">expected</th>
            <th scope="col">what to do</th>
          </tr>
        </thead>
        <tbody>
          {problems.map((problem, index) => {
            const column = problem.path.at(-1);
            return (
              // biome-ignore lint/suspicious/noArrayIndexKey: a fault has no identity but its place
              <tr key={index}>
                <td className="figure">{problem.position?.line}</td>
                <td>{typeof column === "string" ? column : "the whole row"}</td>
                <td className="caution-words">{problem.found}</td>
                <td>{problem.expected}</td>
                <td>{problem.remedy}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </div>
  );
}
