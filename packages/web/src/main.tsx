import "./style/tokens.css";
import "./style/base.css";
import "./style/sheet.css";
import "./style/margin.css";
import "./style/pages.css";
import { StrictMode } from "react";
import { createRoot } from "react-dom/client";
import { App } from "./app/App.js";
import { House } from "./app/house.js";
import { keepAppOnDevice } from "./app/newerApp.js";
import { HouseContext } from "./app/useHouse.js";

const house = new House();
void house.open();

createRoot(document.getElementById("root")!).render(
  <StrictMode>
    <HouseContext value={house}>
      <App />
    </HouseContext>
  </StrictMode>,
);

if ("serviceWorker" in navigator && import.meta.env.PROD) {
  window.addEventListener("load", () => void keepAppOnDevice());
}
