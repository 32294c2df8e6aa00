import { useLayoutEffect, useRef } from "react";
import type { RevisionSummary } from "../api/types.js";
import { Menu, type MenuHandle } from "../app/ActionButton.js";
import { defineActions } from "../app/action.js";
import { shortDate } from "../parts/dates.js";

export interface KnotContext {
  readonly revision: RevisionSummary;
  readonly standardId: string | null;
  readonly hereId: string;
  readonly comparedId: string | null;
  readonly compareWith: (revisionId: string | null) => void;
  readonly openSideBySide: (revisionId: string) => void;
  readonly openRevision: (revisionId: string) => void;
  readonly startFrom: (revisionId: string) => void;
  readonly makeStandard: (revisionId: string) => void;
}

export const knotActions = defineActions<KnotContext>()({
  compareWith: {
    label: "Compare with this",
    applies: ({ revision, comparedId }) => revision.id !== comparedId,
    does: ({ revision, compareWith }) => compareWith(revision.id),
  },
  stopComparing: {
    label: "Stop comparing",
    applies: ({ revision, comparedId }) => revision.id === comparedId,
    does: ({ compareWith }) => compareWith(null),
  },
  sideBySide: {
    label: "Side by side with the sheet",
    applies: () => true,
    does: ({ revision, openSideBySide }) => openSideBySide(revision.id),
  },
  look: { label: "Look at it", applies: () => true, does: ({ revision, openRevision }) => openRevision(revision.id) },
  makeStandard: {
    label: "Make it the standard",
    applies: ({ revision, standardId }) => revision.id !== standardId,
    does: ({ revision, makeStandard }) => makeStandard(revision.id),
  },
  startFrom: {
    label: "Go on from this one",
    applies: ({ revision, hereId }) => revision.id !== hereId,
    does: ({ revision, startFrom }) => startFrom(revision.id),
  },
});

/** The revisions as knots on a thread; its open end is the sheet as it is now. */
export function Thread({
  revisions,
  changed,
  context,
}: {
  revisions: readonly RevisionSummary[];
  changed: boolean;
  context: Omit<KnotContext, "revision">;
}) {
  const menu = useRef<MenuHandle<KnotContext>>(null);
  const line = useRef<HTMLOListElement>(null);
  const count = revisions.length;
  useLayoutEffect(() => {
    // The newest is what is worked on: a long thread shows its end.
    if (count > 0) line.current?.scrollTo({ left: line.current.scrollWidth });
  }, [count]);
  const numberOf = new Map(revisions.map(({ id, number }) => [id, number]));
  const { hereId, comparedId, standardId } = context;
  return (
    <>
      <ol ref={line} className="thread" aria-label="Revisions">
        {revisions.map((revision, index) => {
          const previous = revisions[index - 1];
          const parent = revision.parentId === null ? undefined : numberOf.get(revision.parentId);
          const branches = previous !== undefined && revision.parentId !== previous.id;
          const says = [
            revision.id === standardId ? "the standard" : null,
            revision.id === comparedId ? "compared" : null,
            branches && parent !== undefined ? `from ${parent}` : null,
          ].filter((part) => part !== null);
          return (
            <li key={revision.id}>
              <button
                type="button"
                className="knot"
                aria-haspopup="menu"
                aria-current={revision.id === hereId && !changed ? "true" : undefined}
                data-standard={revision.id === standardId || undefined}
                data-here={(revision.id === hereId && !changed) || undefined}
                data-compared={revision.id === comparedId || undefined}
                title={revision.note}
                onClick={(event) => menu.current?.open(event.currentTarget, { ...context, revision })}
              >
                <span className="figures">
                  <span className="hidden-words">Revision </span>
                  {revision.number}
                </span>
                <span className="under">{says.length > 0 ? says.join(", ") : shortDate(revision.savedAt).split(",")[0]}</span>
              </button>
            </li>
          );
        })}
        {changed ? (
          <li>
            <span className="knot now" data-here>
              <span>now</span>
              <span className="under">not kept yet</span>
            </span>
          </li>
        ) : null}
      </ol>
      <Menu
        ref={menu}
        label="What can be done with this revision"
        heading={({ revision }) => (
          <>
            <strong>Revision {revision.number}</strong>
            {revision.note === "" ? null : <span>{revision.note}</span>}
            <span className="muted small">
              {shortDate(revision.savedAt)}
              {revision.device === "" ? "" : `, ${revision.device}`}
            </span>
          </>
        )}
        actions={({ revision }) => [
          revision.id === comparedId ? knotActions.stopComparing : knotActions.compareWith,
          knotActions.sideBySide,
          knotActions.look,
          null,
          knotActions.makeStandard,
          knotActions.startFrom,
        ]}
      />
    </>
  );
}
