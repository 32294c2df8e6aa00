import figtree from "@fontsource-variable/figtree/files/figtree-latin-wght-normal.woff2?url";
import { useEffect, useState } from "react";

/** Style rules that carry the labels' typeface inside a drawing; empty until it is read. */
export function useLabelFont(): string {
  const [css, setCss] = useState("");
  useEffect(() => {
    let wanted = true;
    const read = async () => {
      const blob = await (await fetch(figtree)).blob();
      const reader = new FileReader();
      reader.onload = () => {
        if (!wanted) return;
        const data = String(reader.result).replace(/^data:[^;]*/, "data:font/woff2");
        setCss(`@font-face{font-family:Figtree;font-weight:300 900;src:url(${data})}`);
      };
      reader.readAsDataURL(blob);
    };
    // Without it the letters are squeezed to the same widths: the drawing is still right.
    read().catch(() => undefined);
    return () => {
      wanted = false;
    };
  }, []);
  return css;
}
