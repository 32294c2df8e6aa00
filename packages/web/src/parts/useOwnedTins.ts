import { type NamedTin, parseTin } from "@evencrumb/core/tins";
import { useMemo } from "react";
import { useHouseState } from "../app/useHouse.js";

/** The baker's own tins as the formulas name them; one that cannot be read is left out here and shown on its page. */
export function useOwnedTins(): readonly NamedTin[] {
  const { tins } = useHouseState();
  return useMemo(
    () =>
      tins.flatMap(({ body }): NamedTin[] => {
        const { value } = parseTin(body.tin);
        return value === undefined ? [] : [{ name: body.name, tin: value }];
      }),
    [tins],
  );
}
