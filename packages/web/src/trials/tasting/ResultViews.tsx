import { sayMean, type TastingResult } from "@evencrumb/core/trials";
import { MeansPicture, TasterDots } from "../pictures.js";
import { chance, plain } from "../settingWords.js";

/** The picture that shows the answer. */
export function ResultPicture({ result, products }: { result: TastingResult; products: readonly string[] }) {
  switch (result.kind) {
    case "too few":
      return null;
    case "discrimination": {
      const { correct, tasterCount, method } = result.discrimination;
      const guessed = plain(result.byGuessing, 1);
      const right = method.endsWith("AFC") ? `picked ${products[1]}` : correct === 1 ? "right answer" : "right answers";
      return (
        <figure className="shown">
          <TasterDots
            marked={correct}
            of={tasterCount}
            line={result.byGuessing}
            label={`${correct} of ${tasterCount} ${method.endsWith("AFC") ? right : "right"}; guessing would give ${guessed}`}
          />
          <figcaption className="muted">
            {correct} {right}, filled; guessing alone would bring about {guessed}.
          </figcaption>
        </figure>
      );
    }
    case "choice": {
      const { forB, tasterCount } = result.preference;
      return (
        <figure className="shown">
          <TasterDots
            marked={forB}
            of={tasterCount}
            line={result.byGuessing}
            label={`${forB} of ${tasterCount} ${result.asked === "more" ? "picked" : "prefer"} ${products[1]}`}
          />
          <figcaption className="muted">
            Filled: {products[1]}. Open: {products[0]}.
          </figcaption>
        </figure>
      );
    }
    case "liking":
      return (
        <figure className="shown">
          <MeansPicture
            groups={result.liking.means.map(({ product, ...rest }) => ({ name: product, ...rest }))}
            unit="points"
            label="Mean mark of each cake, with its interval"
          />
          <figcaption className="muted">
            {result.liking.paired
              ? "Mean mark of 9 among these tasters, with how sure it is. How high each of them marks in general is taken out."
              : "Mean mark of 9, with how sure it is. Different people tasted each: how high somebody marks in general is not taken out."}
          </figcaption>
        </figure>
      );
    case "ranking": {
      const { tasterCount, productCount, rankSums } = result.ranking;
      return (
        <figure className="shown">
          <ul className="rank-sums">
            {[...products.keys()]
              .sort((a, b) => rankSums[a]! - rankSums[b]!)
              .map((index) => (
                <li key={products[index]}>
                  <span>{products[index]}</span>
                  <meter
                    min={tasterCount}
                    max={tasterCount * productCount}
                    value={rankSums[index]}
                    aria-label={`Sum of places of ${products[index]}`}
                  >
                    {rankSums[index]}
                  </meter>
                  <span className="figures">{rankSums[index]}</span>
                </li>
              ))}
          </ul>
          <figcaption className="muted">
            Sum of places, from {tasterCount} (all place it first) to {tasterCount * productCount}; the shorter the bar, the
            better liked.
          </figcaption>
        </figure>
      );
    }
  }
}

/** For those who want to know: chances, intervals and statistics. */
export function ResultFigures({ result, products }: { result: TastingResult; products: readonly string[] }) {
  const facts = factsOf(result, products);
  if (facts.length === 0) return null;
  return (
    <details className="more figures-behind">
      <summary>The figures behind it</summary>
      <dl className="facts figures">
        {facts.map(([name, words]) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>{words}</dd>
          </div>
        ))}
      </dl>
    </details>
  );
}

function factsOf(result: TastingResult, products: readonly string[]): readonly (readonly [string, string])[] {
  switch (result.kind) {
    case "too few":
      return [];
    case "discrimination": {
      const { p, shareRight, shareTelling, dPrime } = result.discrimination;
      return [
        ["Chance of so many right answers by guessing (exact)", chance(p)],
        ["Share right", interval(shareRight)],
        ["Share who really notice", interval(shareTelling)],
        ["Size of the difference (d′)", interval(dPrime)],
      ];
    }
    case "choice":
      return [
        ["Chance of such a count by guessing (exact, two-sided)", chance(result.preference.p)],
        [`Share for ${products[1]}`, interval(result.preference.share)],
      ];
    case "ranking": {
      const { friedman, df, p, f, fDf, fP, leastDifference } = result.ranking;
      return [
        ["Friedman's statistic", `${plain(friedman, 3)} with ${df} degrees of freedom, p ${chance(p)}`],
        ["F form, better for small panels", `${plain(f, 3)} with ${fDf.join(" and ")}, p ${chance(fP)}`],
        ["Sums of places that differ", `by ${plain(leastDifference, 1)} or more`],
        ...(result.page === undefined
          ? []
          : [
              [
                "Page's test of the expected order",
                `L ${result.page.l}, z ${plain(result.page.z, 3)}, p ${chance(result.page.p)}`,
              ] as const,
            ]),
      ];
    }
    case "liking": {
      const { means, differences, f, df, p, leftOut, comparison } = result.liking;
      return [
        ...means.map((mean) => [`Mean mark of ${mean.product}`, sayMean(mean)] as const),
        ...differences.map(
          ({ first, second, estimate, from, to, p: chanceOf }) =>
            [
              `${second} less ${first}`,
              `${plain(estimate, 2)}, between ${plain(from, 2)} and ${plain(to, 2)}, p ${chance(chanceOf)}`,
            ] as const,
        ),
        ...(comparison?.kind === "compared"
          ? [
              [
                result.liking.paired ? "Student's t, paired by taster" : "Welch's t, different tasters",
                `${plain(comparison.difference.t, 3)} with ${plain(comparison.difference.df, 1)} degrees of freedom, p ${chance(comparison.difference.p)}`,
              ] as const,
            ]
          : []),
        ["F", `${plain(f, 3)} with ${df.join(" and ")} degrees of freedom, p ${chance(p)}`],
        ...(leftOut > 0 ? [["Tasters with a single mark, left out", String(leftOut)] as const] : []),
      ];
    }
  }
}

const interval = ({ estimate, from, to }: { readonly estimate: number; readonly from: number; readonly to: number }): string =>
  `${Number.isFinite(estimate) ? plain(estimate, 3) : "beyond any figure"}, between ${plain(from, 3)} and ${Number.isFinite(to) ? plain(to, 3) : "no upper end"}`;
