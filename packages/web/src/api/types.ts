import type { Problem } from "@evencrumb/core/quantities";

/** What the server keeps; the body of each kind is known to the page that shows it. */
export type DocumentKind =
  | "formula"
  | "ingredient"
  | "tin"
  | "oven"
  | "bakeRecord"
  | "trial"
  | "photo"
  | "label"
  | "price"
  | "priceList";

export interface RevisionSummary {
  readonly id: string;
  readonly documentId: string;
  readonly number: number;
  readonly parentId: string | null;
  /** ISO 8601. */
  readonly savedAt: string;
  readonly device: string;
  readonly note: string;
  /** Another line of work that was taken into this revision. */
  readonly settlesId?: string | null;
}

export interface Revision<Body> extends RevisionSummary {
  readonly body: Body;
}

export interface DocumentSummary {
  readonly id: string;
  readonly kind: DocumentKind;
  readonly name: string;
  readonly demo: boolean;
  readonly archived: boolean;
  readonly createdAt: string;
  readonly latest: RevisionSummary;
  readonly standardRevisionId: string | null;
  readonly drafts: readonly { readonly device: string; readonly savedAt: string }[];
}

export interface Draft<Body> {
  readonly device: string;
  readonly baseRevisionId: string;
  readonly savedAt: string;
  readonly body: Body;
}

export interface DocumentDetail<Body> {
  readonly document: Omit<DocumentSummary, "latest"> & { readonly latest?: RevisionSummary };
  readonly latest: Revision<Body>;
  readonly revisions: readonly RevisionSummary[];
  /** The ends of the lines of work: more than one while devices diverged. */
  readonly heads?: readonly RevisionSummary[];
  readonly draft?: Draft<Body>;
}

/** What the server answers to a kept revision: `alongside` holds what others kept on the same parent. */
export interface KeptRevision {
  readonly revision: RevisionSummary;
  readonly alongside: readonly RevisionSummary[];
}

export interface ServerEvent {
  readonly type: string;
  readonly id?: string;
  readonly revisionId?: string;
  readonly device?: string;
}

/** One-time codes for the tasters of a trial. They are told once and never listed. */
export interface TastingCodes {
  readonly codes: readonly { readonly taster: number; readonly code: string; readonly path: string }[];
  /** ISO 8601. */
  readonly endsAt: string;
  /** Where phones reach the server; empty while it listens to its own machine only. */
  readonly addresses: readonly string[];
}

/** RFC 9457 problem details as the server sends them. */
export interface ProblemDetails {
  readonly title: string;
  readonly status: number;
  readonly detail?: string;
  readonly problems?: readonly Problem[];
}
