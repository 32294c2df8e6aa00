import { sql } from "kysely";
import { describe, expect, it } from "vitest";
import { openStore } from "./openStore.js";
import type { StoreChange } from "./store.js";
import { backEnds, steadyOptions } from "./testing/backEnds.js";

it("says so when no server answers, and when a schema cannot be named so", async () => {
  const postgresUrl = "postgres://nobody@127.0.0.1:9/none"; // the discard port
  await expect(openStore({ postgresUrl }, steadyOptions())).rejects.toThrow(
    /^The PostgreSQL server cannot be used as a store \(.+\)\. Check the address, the user and the database\.$/,
  );
  for (const schema of ["", "a-b", "Bakery", "a; drop table revisions", "x".repeat(60)]) {
    await expect(openStore({ postgresUrl, schema }, steadyOptions())).rejects.toThrow("cannot be the name of a schema");
  }
});

describe.each(backEnds().filter(({ name }) => name === "PostgreSQL"))("a store on $name", ({ open }) => {
  it("goes on after every connection was cut, and hears of changes again", { timeout: 30_000 }, async () => {
    const end = await open();
    const other = await end.openAgain();
    const heard: StoreChange[] = [];
    end.store.subscribe((change) => heard.push(change));
    await end.store.writeSettings({ units: "us" });
    await other.writeSettings({ units: "metric" });
    await expect.poll(() => heard.length, { timeout: 5000 }).toBe(2);

    // Only our own: other tests use the same server at the same time.
    const schema = (await sql<{ name: string }>`select current_schema() as name`.execute(end.database.db)).rows[0]!.name;
    const listening = await sql<{
      pid: number;
    }>`select pid from pg_stat_activity where query = ${`listen evencrumb_${schema}`}`.execute(end.database.db);
    expect(listening.rows).toHaveLength(2);
    for (const { pid } of listening.rows) await sql`select pg_terminate_backend(${pid})`.execute(end.database.db);
    await expect.poll(() => heard.at(-1), { timeout: 10_000 }).toEqual({ type: "restored" });
    await other.writeSettings({ units: "imperial" });
    await expect.poll(() => heard.at(-1), { timeout: 5000 }).toEqual({ type: "settings-changed" });
    expect(await end.store.readSettings()).toEqual({ units: "imperial" });
    await end.dispose();
  });

  it("keeps a save only when the server has synced it, whatever the server's own settings are", async () => {
    const end = await open();
    const { rows } = await sql<{ synchronous_commit: string }>`show synchronous_commit`.execute(end.database.db);
    expect(rows).toEqual([{ synchronous_commit: "on" }]);
    await end.dispose();
  });
});
