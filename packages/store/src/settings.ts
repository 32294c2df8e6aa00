import type { Result } from "@evencrumb/core/quantities";
import { writeBody } from "./body.js";
import type { Database } from "./database.js";
import { plainText, refuse } from "./fields.js";
import type { Refusal, StoreOptions } from "./store.js";

const SETTINGS_MAX = 1000;

/** One object of settings, kept field by field. */
export function settingsIn(database: Database, { now }: StoreOptions) {
  return {
    async readSettings(): Promise<Readonly<Record<string, unknown>>> {
      const rows = await database.db.selectFrom("settings").select(["key", "value"]).orderBy("key").execute();
      return Object.fromEntries(rows.map((row) => [row.key, JSON.parse(row.value) as unknown]));
    },

    async writeSettings(
      settings: Readonly<Record<string, unknown>>,
      device?: string,
    ): Promise<Result<Readonly<Record<string, unknown>>, Refusal>> {
      const written = writeBody(settings);
      if (!written.ok) return written;
      const at = now().toISOString();
      const parsed = JSON.parse(written.value.text) as Record<string, unknown>;
      if (Object.keys(parsed).length > SETTINGS_MAX) {
        return refuse("too-large", `There are more than ${SETTINGS_MAX} settings.`);
      }
      const kept = Object.fromEntries(Object.entries(parsed).map(([key, value]) => [plainText(key), value]));
      await database.write(async (transaction, announce) => {
        const values = Object.entries(kept).map(([key, value]) => ({ key, value: JSON.stringify(value), saved_at: at }));
        // "not in ()" is not SQL everywhere, hence the key that cannot be.
        await transaction
          .deleteFrom("settings")
          .where("key", "not in", ["\u0001", ...Object.keys(kept)])
          .execute();
        for (const { key, value, saved_at } of values) {
          await transaction
            .insertInto("settings")
            .values({ key, value, saved_at })
            // Only what changed is dated anew.
            .onConflict((conflict) =>
              conflict.column("key").doUpdateSet({ value, saved_at }).where("settings.value", "<>", value),
            )
            .execute();
        }
        announce({ type: "settings-changed", ...(device !== undefined && { device }) });
      });
      return { ok: true, value: kept };
    },
  };
}
