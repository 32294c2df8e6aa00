import { createContext, useContext, useSyncExternalStore } from "react";
import type { OutboxState } from "../keep/outbox.js";
import type { House, HouseState } from "./house.js";

export const HouseContext = createContext<House | null>(null);

export function useHouse(): House {
  const house = useContext(HouseContext);
  if (house === null) throw new Error("useHouse is called outside of HouseContext");
  return house;
}

export function useHouseState(): HouseState {
  const house = useHouse();
  return useSyncExternalStore(house.subscribe, house.state);
}

export function useOutboxState(): OutboxState {
  const { outbox } = useHouse();
  return useSyncExternalStore(outbox.subscribe, outbox.state);
}
