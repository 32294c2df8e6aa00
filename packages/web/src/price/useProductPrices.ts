import type { PricedProduct } from "@evencrumb/core/price";
import { useMemo } from "react";
import { useProducts } from "../parts/useProducts.js";
import { usePriceReader } from "./usePrice.js";

/** What the bakery makes, each with what is known of its price; undefined while it is opened. */
export function useProductPrices(): readonly PricedProduct[] | undefined {
  const products = useProducts();
  const read = usePriceReader();
  return useMemo(
    () =>
      products === null || read === undefined
        ? undefined
        : products.map(({ id, formula }) => ({ id, formula, document: read(id, formula).document })),
    [products, read],
  );
}
