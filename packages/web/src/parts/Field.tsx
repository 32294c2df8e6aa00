import type { Problem } from "@evencrumb/core/quantities";
import { type ReactNode, useId } from "react";

/** A labelled field with its help and, where it is wrong, what was expected and what to do. */
export function Field({
  label,
  help,
  wrong,
  children,
  className,
}: {
  label: string;
  help?: ReactNode;
  wrong?: string | null | undefined;
  className?: string;
  children: (props: { id: string; "aria-describedby": string | undefined; "aria-invalid": boolean }) => ReactNode;
}) {
  const id = useId();
  const isWrong = wrong !== null && wrong !== undefined;
  const about = isWrong ? `${id}-wrong` : help === undefined ? undefined : `${id}-help`;
  return (
    <div className={`field ${className ?? ""}`}>
      <label htmlFor={id}>{label}</label>
      {children({ id, "aria-describedby": about, "aria-invalid": isWrong })}
      {isWrong ? (
        <span id={`${id}-wrong`} className="wrong" role="alert">
          {wrong}
        </span>
      ) : help === undefined ? null : (
        <span id={`${id}-help`} className="help">
          {help}
        </span>
      )}
    </div>
  );
}

/** "Expected a weight such as 250 g, found 25O. Replace the letter O with a zero." */
export const problemWords = (problem: Problem): string =>
  `Expected ${problem.expected}; found ${problem.found}. ${problem.remedy}`;

export function ProblemList({ problems }: { problems: readonly Problem[] }) {
  if (problems.length === 0) return null;
  return (
    <div role="alert">
      <ul className="problems">
        {problems.map((problem) => (
          <li key={`${problem.path.join(".")}-${problem.code}-${problem.found}`}>
            {problem.position === undefined ? "" : `Line ${problem.position.line}, column ${problem.position.column}: `}
            {problemWords(problem)}
          </li>
        ))}
      </ul>
    </div>
  );
}
