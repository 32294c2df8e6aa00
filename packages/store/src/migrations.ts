/** Which SQL is spoken. */
export type Dialect = "sqlite" | "postgres";

/** One step of the schema. A step that was shipped is never edited: a later step mends what an earlier one got wrong. */
export interface Migration {
  readonly number: number;
  readonly name: string;
  readonly statements: (dialect: Dialect) => readonly string[];
}

export const MIGRATIONS: readonly Migration[] = [
  { number: 1, name: "documents, revisions, drafts, settings", statements: firstTables },
  { number: 2, name: "a revision can settle another line of work", statements: settledLines },
];

function firstTables(dialect: Dialect): readonly string[] {
  // SQLite takes a reference to a table that comes later, and cannot add one afterwards; PostgreSQL is the other way round.
  const standard = "foreign key (id, standard_revision_id) references revisions (document_id, id) deferrable initially deferred";
  const end = dialect === "sqlite" ? ") strict" : ")";
  return [
    `create table documents (
  id text not null primary key,
  kind text not null,
  name text not null,
  created_at text not null,
  archived_at text,
  demo integer not null check (demo in (0, 1)),
  standard_revision_id text${dialect === "sqlite" ? `,\n  ${standard}` : ""}
${end}`,
    `create table revisions (
  id text not null primary key,
  document_id text not null references documents (id),
  number integer not null check (number >= 1),
  parent_id text,
  saved_at text not null,
  device text not null,
  note text not null,
  content_hash text not null check (length(content_hash) = 64),
  body text not null,
  unique (document_id, number),
  unique (document_id, id),
  check ((number = 1) = (parent_id is null)),
  foreign key (document_id, parent_id) references revisions (document_id, id)
${end}`,
    ...(dialect === "postgres" ? [`alter table documents add constraint documents_standard ${standard}`] : []),
    `create table drafts (
  document_id text not null references documents (id),
  device text not null,
  base_revision_id text not null,
  saved_at text not null,
  body text not null,
  primary key (document_id, device),
  foreign key (document_id, base_revision_id) references revisions (document_id, id)
${end}`,
    `create table settings (
  key text not null primary key,
  value text not null,
  saved_at text not null
${end}`,
    `create table housekeeping (
  key text not null primary key,
  value text not null
${end}`,
    "create index documents_by_kind on documents (kind, name)",
    "create index revisions_by_parent on revisions (document_id, parent_id)",
    "create index revisions_by_time on revisions (saved_at)",
    ...GUARDS[dialect].flatMap((guard) => guard.create),
  ];
}

function settledLines(): readonly string[] {
  return [
    "alter table revisions add column settles_id text references revisions (id)",
    // Without it, each revision of a removed demo document would be looked for in all others.
    "create index revisions_by_settled on revisions (settles_id)",
  ];
}

/** Keeps a promise of the store even against our own mistakes: the database itself refuses to break it. */
export interface Guard {
  readonly create: readonly string[];
  readonly drop: readonly string[];
}

const sqliteGuard = (name: string, when: string, words: string): Guard => ({
  create: [`create trigger ${name} before ${when}\nbegin\n  select raise(abort, '${words}');\nend`],
  drop: [`drop trigger ${name}`],
});

const postgresGuard = (name: string, event: string, table: string, condition: string, words: string): Guard => ({
  create: [
    `create function ${name}() returns trigger language plpgsql as $$
begin
  ${condition} raise exception '${words}' using errcode = 'integrity_constraint_violation'; end if;
  return ${event.startsWith("delete") ? "old" : "new"};
end
$$`,
    `create trigger ${name} before ${event} on ${table} for each ${event === "truncate" ? "statement" : "row"} execute function ${name}()`,
  ],
  drop: [`drop trigger ${name} on ${table}`, `drop function ${name}()`],
});

/**
 * The guards of version 1. Restoring a backup lifts them inside its transaction and puts them back before it ends.
 * Only a document of the demo can be deleted, and no document can become one.
 */
export const GUARDS: Readonly<Record<Dialect, readonly Guard[]>> = {
  sqlite: [
    sqliteGuard("revisions_never_altered", "update on revisions", "a revision is never altered"),
    // "insert or replace" deletes without asking the delete trigger.
    sqliteGuard(
      "revisions_never_replaced",
      "insert on revisions when exists (select 1 from revisions r where r.id = new.id or (r.document_id = new.document_id and r.number = new.number))",
      "a revision is never replaced",
    ),
    sqliteGuard(
      "revisions_never_deleted",
      "delete on revisions when (select demo from documents d where d.id = old.document_id) is not 1",
      "a revision is never deleted",
    ),
    sqliteGuard(
      "documents_never_replaced",
      "insert on documents when exists (select 1 from documents d where d.id = new.id)",
      "a document is never replaced",
    ),
    sqliteGuard("documents_never_deleted", "delete on documents when old.demo = 0", "a document is never deleted, only archived"),
    sqliteGuard(
      "documents_never_become_demo",
      "update on documents when new.id <> old.id or new.kind <> old.kind or new.demo > old.demo",
      "a document keeps its id and its kind, and does not become a demo",
    ),
  ],
  postgres: [
    postgresGuard("revisions_never_altered", "update", "revisions", "if true then", "a revision is never altered"),
    postgresGuard(
      "revisions_never_deleted",
      "delete",
      "revisions",
      "if (select demo from documents d where d.id = old.document_id) is distinct from 1 then",
      "a revision is never deleted",
    ),
    postgresGuard("revisions_never_emptied", "truncate", "revisions", "if true then", "a revision is never deleted"),
    postgresGuard(
      "documents_never_deleted",
      "delete",
      "documents",
      "if old.demo = 0 then",
      "a document is never deleted, only archived",
    ),
    postgresGuard(
      "documents_never_emptied",
      "truncate",
      "documents",
      "if true then",
      "a document is never deleted, only archived",
    ),
    postgresGuard(
      "documents_never_become_demo",
      "update",
      "documents",
      "if new.id <> old.id or new.kind <> old.kind or new.demo > old.demo then",
      "a document keeps its id and its kind, and does not become a demo",
    ),
  ],
};
